"""The places of a hob. In: nothing. Out: its four corners, and those of each side. Not allowed to know: words that name them."""

FOUR = ("front-left", "front-right", "rear-left", "rear-right")
SIDES = {
    side: tuple(place for place in FOUR if side in place.split("-")) for side in ("front", "rear", "left", "right")
}
