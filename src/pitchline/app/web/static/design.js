// The design page: sliders that draw while they move, the picture in space, parts picked anywhere, small pictures.

import { show as settleAll } from "/static/bench.js";
import { pending, preview } from "/static/queue.js";
import { mountViewer } from "/static/viewer.js";

const WAIT = 350; // ms of rest before small pictures are drawn anew
const of = document.body.dataset.of || "";
const views = document.querySelector(".views");
const host = document.getElementById("space");
const viewer = host ? mountViewer(host) : null;

const drawnNow = () => document.querySelector(".drawn");
const name = () => drawnNow()?.dataset.name || "";
const asked = (extra = {}) => new URLSearchParams({ ...(of ? { of } : {}), ...extra });

// --- the picture in space: one request at a time, the last one asked for wins

let fetching = false;
let wanted = false;
async function space() {
  if (!host || !name()) return;
  wanted = true;
  if (fetching) return;
  fetching = true;
  while (wanted) {
    wanted = false;
    try {
      if (viewer) {
        if (!viewer.pieces.length) viewer.setEye(drawnNow().dataset.eye);
        await viewer.loadUrl(`/design/scene/${encodeURIComponent(name())}`);
      } else picture();
    } catch { /* the next answer asks again */ }
  }
  fetching = false;
}

function picture() {
  let image = host.querySelector("img");
  if (!image) {
    image = document.createElement("img");
    image.className = "viewer-picture";
    image.alt = host.dataset.label;
    host.replaceChildren(image);
  }
  image.src = `/design/space/${encodeURIComponent(name())}.svg?${document.body.dataset.version}`;
}
host?.addEventListener("webglcontextlost", picture, true);

// --- sliders: what they would lead to is drawn while they move; letting go makes the edit

let trying = false;
let last = null;
async function tryOut(field) {
  last = field;
  if (trying || pending()) return;
  trying = true;
  while (last) {
    const now = last;
    last = null;
    const told = await preview([{ path: JSON.parse(now.dataset.path), put: Number(now.value) }]);
    if (told && !pending()) {
      settleAll(told);
      drawn();
    }
  }
  trying = false;
}
document.addEventListener("input", ({ target }) => {
  if (target.matches?.('input[type="range"][data-path]')) tryOut(target);
});
document.addEventListener("change", ({ target }) => {
  if (target.matches?.('input[type="range"][data-path]')) last = null;
});

// --- after every answer

let count = 0;
function drawn() {
  space();
  lightUp();
  document.body.dataset.pictured = String(++count);
}
let clock = 0;
document.addEventListener("answered", () => {
  drawn();
  clearTimeout(clock);
  clock = setTimeout(() => {
    for (const open of document.querySelectorAll("details.ways[open]")) ways(open);
    if (chosen) part(chosen);
  }, WAIT);
});

// --- parts: picked in the elevation, in space or in the list

let chosen = "";
function sameRail(place, base) { return place === base || place.replace(/[a-h]$/, "") === base; }

function lightUp() {
  const row = rowOf(chosen);
  const all = row ? row.dataset.places.split(" ") : chosen ? [chosen] : [];
  for (const shape of document.querySelectorAll(".elevation [data-part]")) {
    const own = shape.dataset.part;
    shape.classList.toggle("chosen", chosen !== "" && (own === chosen || sameRail(chosen, own)));
    shape.classList.toggle("alike", all.some((place) => place === own || sameRail(place, own)));
  }
  for (const each of document.querySelectorAll("tr[data-places]")) each.classList.toggle("chosen", each === row);
  viewer?.highlight(chosen ? [chosen] : []);
}

function rowOf(place) {
  if (!place) return null;
  const rows = [...document.querySelectorAll("tr[data-places]")];
  const holds = (row, test) => row.dataset.places.split(" ").some(test);
  return rows.find((row) => holds(row, (one) => one === place)) || rows.find((row) => holds(row, (one) => sameRail(one, place))) || null;
}

function pick(place) {
  chosen = place || "";
  lightUp();
  const row = rowOf(chosen);
  part(chosen);
}

let partAsked = 0;
let planOf = "";
const nothing = document.getElementById("part")?.innerHTML ?? "";
async function part(place) {
  const box = document.getElementById("part");
  if (!box) return;
  const mine = ++partAsked;
  if (!place) { box.innerHTML = nothing; delete box.dataset.shown; return; }
  const response = await fetch(`/design/part?${asked({ place })}`);
  if (mine !== partAsked) return;
  if (!response.ok) { box.replaceChildren(); return; }
  box.innerHTML = await response.text();
  box.dataset.shown = place;
  if (planOf === place) plan(box.querySelector("[data-plan]"));
  else planOf = "";
}

async function plan(button) {
  if (!button) return;
  const place = button.dataset.plan;
  planOf = place;
  button.disabled = true;
  const response = await fetch(`/design/plan?${asked({ place })}`);
  const told = response.ok ? await response.text() : "";
  // the part may have been drawn anew in the meantime
  const now = document.querySelector("#part [data-plan]");
  if (told && now?.dataset.plan === place) now.parentElement.querySelector(".in-plans").innerHTML = told;
  button.disabled = false;
}

document.addEventListener("click", ({ target }) => {
  const shape = target.closest?.(".elevation [data-part]");
  if (shape) pick(shape.dataset.part);
  const row = target.closest?.("[data-pick]");
  if (row) pick(row.dataset.pick);
  if (row) views.scrollIntoView({ block: "start" });
  const button = target.closest?.("[data-plan]");
  if (button) plan(button);
  if (target.closest?.("[data-unpick]")) pick("");
});
host?.addEventListener("pick", (event) => pick(event.detail.name));

// --- small pictures of a group of choices, drawn when it is opened

async function ways(fold) {
  const box = fold.querySelector("[data-ways]");
  fold.dataset.busy = "";
  const response = await fetch(`/design/ways/${fold.dataset.group}?${asked()}`);
  if (response.ok) {
    const held = document.activeElement?.closest?.("[data-ways]") === box ? document.activeElement.dataset.key : null;
    box.innerHTML = await response.text();
    if (held) box.querySelector(`[data-key="${CSS.escape(held)}"]`)?.focus();
  }
  delete fold.dataset.busy;
  fold.dataset.drawn = String(Number(fold.dataset.drawn || 0) + 1);
}
document.addEventListener("toggle", ({ target }) => { if (target.open && target.matches?.("details.ways")) ways(target); }, true);

// --- what is shown

for (const button of document.querySelectorAll("[data-show], [data-layer]")) {
  button.addEventListener("click", () => {
    const pressed = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(pressed));
    views.classList.toggle(`no-${button.dataset.show || button.dataset.layer}`, !pressed);
    keepSwitches();
  });
}
function keepSwitches() {
  const off = [...document.querySelectorAll('[data-show][aria-pressed="false"], [data-layer][aria-pressed="false"]')];
  sessionStorage.setItem("pitchline-views", off.map((one) => one.dataset.show || one.dataset.layer).join(" "));
}
const hidden = (sessionStorage.getItem("pitchline-views") ?? "balls").split(" ");
for (const button of document.querySelectorAll("[data-show], [data-layer]")) {
  const off = hidden.includes(button.dataset.show || button.dataset.layer);
  button.setAttribute("aria-pressed", String(!off));
  views.classList.toggle(`no-${button.dataset.show || button.dataset.layer}`, off);
}
for (const button of document.querySelectorAll("[data-look]")) {
  button.addEventListener("click", () => viewer?.look(button.dataset.look));
}
for (const button of document.querySelectorAll("[data-zoom]")) {
  button.addEventListener("click", () => viewer?.zoom(Number(button.dataset.zoom)));
}
if (drawnNow()?.dataset.name) drawn();
