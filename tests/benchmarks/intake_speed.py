"""How long intake takes beside `cp`, `sha256sum` and `sync` of the same files, one after the other.

    python tests/benchmarks/intake_speed.py [PHOTOS CLIPS]

Photos have 12 million pixels and about 3 MB, clips are one minute of AAC. Needs ffmpeg. Both sides start with a warm file cache.
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

COPY = 'for f in "$1"/*; do cp "$f" "$2"/; sha256sum "$2/${f##*/}" >>"$2.sums"; sync "$2/${f##*/}"; done'


def make(folder: Path, photos: int, clips: int) -> None:
    """Files that differ in a few bytes only, which is all that filing by hash looks at."""
    from io import BytesIO

    import numpy as np
    from PIL import Image

    rng = np.random.default_rng(1)
    coarse = Image.fromarray(rng.integers(0, 255, (75, 100, 3), dtype=np.uint8)).resize(
        (4000, 3000), Image.Resampling.BICUBIC
    )
    grain = rng.integers(-9, 9, (3000, 4000, 1))
    picture = BytesIO()
    Image.fromarray(np.clip(np.asarray(coarse) + grain, 0, 255).astype(np.uint8)).save(picture, "JPEG", quality=85)
    for number in range(photos):
        comment = b"\xff\xfe\x00\x0a" + f"{number:08d}".encode()
        (folder / f"IMG_{number:04d}.jpg").write_bytes(picture.getvalue()[:2] + comment + picture.getvalue()[2:])
    for number in range(clips):
        tone = f"anoisesrc=d=60:c=pink:a=0.3:seed={number}"
        target = folder / f"clip_{number:03d}.m4a"
        subprocess.run(["ffmpeg", "-loglevel", "error", "-f", "lavfi", "-i", tone, "-b:a", "96k", target], check=True)


def main() -> None:
    photos, clips = (int(word) for word in sys.argv[1:3]) if len(sys.argv) > 2 else (500, 50)
    with tempfile.TemporaryDirectory(dir=os.environ.get("BENCH_DIR")) as scratch:
        source, target = Path(scratch) / "source", Path(scratch) / "target"
        source.mkdir()
        target.mkdir()
        make(source, photos, clips)
        size = sum(path.stat().st_size for path in source.iterdir())
        os.sync()
        started = time.perf_counter()
        subprocess.run(["bash", "-c", COPY, "copy", source, target], check=True)
        plain = time.perf_counter() - started
        os.sync()
        started = time.perf_counter()
        program = "from fieldnote.cli import main; main()"
        command = [
            sys.executable,
            "-c",
            program,
            "--notebook",
            Path(scratch) / "book",
            "add",
            *sorted(source.iterdir()),
        ]
        added = subprocess.run(command, check=True, capture_output=True, text=True).stdout.count("added")
        ours = time.perf_counter() - started
    print(f"{photos} photos and {clips} clips, {size / 1e6:.0f} MB, {added} added")
    print(f"cp + sha256sum + sync {plain:.2f} s; add {ours:.2f} s; ratio {ours / plain:.2f}")


if __name__ == "__main__":
    main()
