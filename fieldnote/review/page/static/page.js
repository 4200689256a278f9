"use strict";
// Keys, sound and swapping in what the server answers. Every decision is a form of the page; nothing is decided here.
const audio = () => document.getElementById("audio");
const status = (text) => { document.getElementById("told").textContent = text.trim(); };
let until = null;

function play(button) {
  const player = audio(), from = Number(button.dataset.from), to = button.dataset.to;
  const seek = () => { player.currentTime = Math.max(0, from - 0.3); player.play().catch(() => status("The browser cannot play this clip.")); };
  until = to ? Number(to) + 0.5 : null;
  document.getElementById("sound-name").textContent = button.dataset.name;
  document.getElementById("sound").hidden = false;
  if (player.dataset.sound === button.dataset.sound && player.readyState > 0) return seek();
  player.dataset.sound = button.dataset.sound;
  player.src = button.dataset.sound;
  player.addEventListener("loadedmetadata", seek, { once: true });
  player.load();
}

// A card that is gone to is heard once it is stayed at: whoever steps through many starts no sound at each of them.
const STAYED = 150; // milliseconds
let soon = 0;
function playSoon() {
  clearTimeout(soon);
  soon = setTimeout(() => { const sound = document.querySelector("#desk [data-sound]"); if (sound && !open) play(sound); }, STAYED);
}

// An answer holds parts of the page, each with the id of the one whose place it takes.
function swap(html, focus) {
  const parts = new DOMParser().parseFromString(html, "text/html").body.children;
  const told = [...parts].find((part) => part.id === "told");
  if (!told) { status(html.trim().slice(0, 200) || "No answer."); return; }
  const time = document.getElementById("time"), top = time.scrollTop;
  for (const part of [...parts]) if (part !== told) document.getElementById(part.id)?.replaceWith(part);
  document.title = told.dataset.title;
  const line = document.getElementById("told");
  line.className = told.className;
  line.dataset.seen = told.dataset.seen;
  status(told.textContent);
  if (document.getElementById("time") !== time) document.getElementById("time").scrollTop = top;
  ready();
  if (focus && !told.classList.contains("wrong")) document.getElementById("desk-title").focus();
}

// One question at a time: each answer is told what the one before it left on the page.
let asking = Promise.resolve(), open = 0;
const SLOW = 400; // milliseconds after which somebody wonders whether a key was felt
const seen = () => document.getElementById("told").dataset.seen;

function ask(url, form = null, focus = false) {
  open += 1;
  asking = asking.then(async () => {
    const waiting = setTimeout(() => status("Working on it."), SLOW);
    try {
      if (form) form.set("seen", seen());
      const answer = await fetch(form ? url : `${url}&seen=${seen()}`, form ? { method: "POST", body: form } : {});
      swap(await answer.text(), focus);
    } catch { status("The page is not being served any more; what was decided is kept."); }
    clearTimeout(waiting);
    open -= 1;
    picture();
  });
  return asking;
}

// Pictures come when they are in sight, one at a time and never before a decision: a browser has few connections to a server,
// and pictures that wait to be made would hold all of them when a key is pressed.
const wanted = new Set();
let coming = false;
const sight = new IntersectionObserver((changes) => {
  for (const { target, isIntersecting } of changes) isIntersecting ? wanted.add(target) : wanted.delete(target);
  picture();
}, { rootMargin: "20%" });

function picture() {
  for (const one of wanted) if (!one.isConnected) wanted.delete(one);
  const next = [...wanted].sort((one, other) => Boolean(other.closest("#desk")) - Boolean(one.closest("#desk")))[0];
  if (coming || open || !next) return;
  coming = true;
  wanted.delete(next);
  sight.unobserve(next);
  next.onload = next.onerror = () => { coming = false; picture(); };
  next.src = next.dataset.src;
}

function ready() {
  for (const image of document.querySelectorAll("img[data-src]:not([src])")) sight.observe(image);
  for (const chip of document.querySelectorAll("#time [aria-current]")) chip.removeAttribute("aria-current");
  const chip = document.getElementById("line-" + document.getElementById("desk").dataset.at);
  if (chip) { chip.setAttribute("aria-current", "true"); reveal(chip); }
  const keys = document.getElementById("keys");
  keys.setAttribute("aria-pressed", String(keysOn()));
  keys.textContent = keysOn() ? "Single keys on" : "Single keys off";
}

// In a wide window the line of time scrolls by itself; there the current line is brought into view.
function reveal(chip) {
  const time = document.getElementById("time"), here = chip.getBoundingClientRect(), room = time.getBoundingClientRect();
  if (time.scrollHeight > time.clientHeight + 4 && (here.top < room.top || here.bottom > room.bottom))
    time.scrollTop += here.top - room.top - room.height / 3;
}

const keysOn = () => sessionStorage.getItem("keys") !== "off";

function step(by) {
  const chips = [...document.querySelectorAll("#time .chip")];
  const here = chips.findIndex((chip) => chip.hasAttribute("aria-current"));
  const next = chips[Math.min(chips.length - 1, Math.max(0, here + by))];
  if (next) { next.scrollIntoView({ block: "center" }); next.click(); }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  event.preventDefault();
  if (open) return; // what is decided is what is seen: no card is answered before it is there
  ask(form.getAttribute("action"), new URLSearchParams(new FormData(form)), true);
});

document.addEventListener("click", (event) => {
  const at = event.target.closest("[data-sound], [data-go], [data-large], [data-all], #keys");
  if (!at) return;
  if (at.id === "keys") { sessionStorage.setItem("keys", keysOn() ? "off" : "on"); ready(); return; }
  if (at.dataset.sound) { play(at); return; }
  if (at.dataset.all) { ask(`/card?at=${encodeURIComponent(document.getElementById("desk").dataset.at)}&all=${at.dataset.all}`); return; }
  event.preventDefault();
  if (at.dataset.large) {
    const picture = document.getElementById("large-photo");
    picture.hidden = true; // the one shown before must not stand under this one's name
    picture.onload = () => { picture.hidden = false; };
    picture.src = at.dataset.large;
    picture.alt = document.getElementById("large-name").textContent = "Photo " + at.dataset.name;
    document.getElementById("large").showModal();
    return;
  }
  ask("/card?at=" + encodeURIComponent(at.dataset.go), null, true).then(playSoon);
});

// Reading words takes a moment to be made ready: it is while they are typed.
document.addEventListener("focusin", (event) => { if (event.target.name === "words") fetch("/ready").catch(() => {}); });

document.addEventListener("keydown", (event) => {
  if (!keysOn() || event.repeat || event.ctrlKey || event.altKey || event.metaKey || event.target.closest("input, select, textarea, dialog, audio")) return;
  const key = event.key.toLowerCase();
  const field = document.querySelector(`[data-focus="${CSS.escape(key)}"]`);
  const button = document.querySelector(`[data-key="${CSS.escape(key)}"]`);
  if (key === "j" || key === "k") step(key === "j" ? 1 : -1);
  else if (field) field.focus();
  else if (button) button.click();
  else return;
  event.preventDefault();
});

audio().addEventListener("timeupdate", () => { if (until !== null && audio().currentTime >= until) { audio().pause(); until = null; } });
ready();
