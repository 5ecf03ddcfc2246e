// The stair page: a reading lights up where it is taken, lists grow with the stair, readings and photos are added.

import { commit } from "/static/bench.js";
import * as queue from "/static/queue.js";

const { words } = queue;
const keys = document.getElementById("keys");
const more = document.getElementById("more");
let lit = null;

// --- the drawing and the fields belong together

function light(where) {
  lit = where;
  for (const shape of document.querySelectorAll(".taken.on")) shape.classList.remove("on");
  if (!where) return;
  const shape = document.querySelector(`[data-shape="${CSS.escape(where)}"]`);
  if (shape) { shape.classList.add("on"); shape.parentNode.append(shape); }
}
function fieldAt(where) { return document.querySelector(`input[data-where="${CSS.escape(where)}"]`); }
function go(where) {
  const field = fieldAt(where);
  if (!field) return;
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  field.focus();
  field.scrollIntoView({ block: "center", behavior: "auto" });
}
document.addEventListener("focusin", ({ target }) => {
  if (target.dataset?.where) light(target.dataset.where);
  if (!keys) return;
  const figure = target.matches?.("input.figure:not(.count)");
  if (!keys.contains(target)) keys.hidden = !figure || !(more?.dataset.unit === "in" || matchMedia("(pointer: coarse)").matches);
});
document.addEventListener("answered", () => light(lit));
document.addEventListener("click", ({ target }) => {
  const shape = target.closest?.("[data-shape]");
  if (shape) go(shape.dataset.shape);
  const offered = target.closest?.("[data-go]");
  if (offered) go(offered.dataset.go);
  const by = target.closest?.("[data-count-by]");
  if (by) countTo(Number(document.getElementById("count").value) + Number(by.dataset.countBy));
});

// --- how many risers or points: the lists grow and shrink at the top of the stair

function countTo(number) {
  const field = document.getElementById("count");
  const count = JSON.parse(field.dataset.count);
  if (!Number.isInteger(number) || number < 2 || number > 40 || number === count.was) {
    if (number === count.was) return;
    queue.edit([{ path: count.path, typed: field.value }], { say: words.count });
    return;
  }
  const changes = [{ path: count.path, put: number }];
  for (const [path, short, held] of count.lists) {
    for (let k = held; k < number + short; k++) changes.push({ path, add: "-" });
    for (let k = held; k > number + short; k--) changes.push({ path: [...path, k - 1], drop: true });
  }
  for (const path of count.ends) changes.push({ path, put: `N${number}` });
  field.value = String(number);
  queue.edit(changes, { say: words.count });
}
document.addEventListener("change", ({ target }) => {
  if (target.id === "count") countTo(Number(target.value));
  if (target.dataset?.new !== undefined) take(target);
});
document.addEventListener("keydown", (event) => {
  const { target } = event;
  if (event.key === "Enter" && target.id === "count") countTo(Number(target.value));
  if (event.key === "Enter" && target.dataset?.new !== undefined) target.blur();
});

// --- one more reading

function take(field) {
  if (!field.value.trim()) return;
  const item = { ...JSON.parse(field.dataset.item), [field.dataset.value]: { typed: field.value } };
  queue.edit([{ path: JSON.parse(field.dataset.new), add: item }], { say: words.reading });
  field.value = "";
}

const WANTS = {
  straight: ["from", "to"], pitch: ["from", "to"], height: ["from", "to"], run: ["from", "to"],
  level: ["setup", "to"], plumb: ["setup", "to"], rise: ["number"], going: ["number"],
};
function arrange() {
  const kind = more.elements.kind.value;
  for (const label of more.querySelectorAll("[data-for]")) {
    label.hidden = !WANTS[kind].includes(label.dataset.for);
    label.querySelector("input").required = !label.hidden;
  }
  more.querySelector(".unit").textContent = kind === "pitch" ? "°" : more.dataset.unit;
  if (!more.elements.setup.value || ["laser 1", "plumb line"].includes(more.elements.setup.value)) {
    more.elements.setup.value = kind === "plumb" ? "plumb line" : "laser 1";
  }
}
if (more) {
  more.elements.kind.addEventListener("change", arrange);
  arrange();
  more.addEventListener("submit", (event) => {
    event.preventDefault();
    const { kind, value } = more.elements;
    if (!value.value.trim()) { value.focus(); return; }
    const item = { kind: kind.value };
    for (const name of WANTS[kind.value]) {
      const text = more.elements[name].value.trim();
      item[name] = name === "number" ? { typed: text } : text;
    }
    item[kind.value === "pitch" ? "value_deg" : "value"] = { typed: value.value };
    const leg = JSON.parse(document.getElementById("count").dataset.count).path.slice(0, -1);
    queue.edit([{ path: [...leg, "readings"], add: item }], { say: words.reading });
    value.value = "";
    value.focus();
  });
}

// --- keys that the number pad of a tablet lacks

if (keys) {
  keys.addEventListener("pointerdown", (event) => event.preventDefault()); // the field keeps the focus
  keys.addEventListener("click", ({ target }) => {
    const field = document.activeElement;
    if (!field.matches?.("input.figure")) return;
    const { keySign, keyPart, keyNext } = target.dataset;
    if (keySign !== undefined) field.value = field.value.startsWith("-") ? field.value.slice(1) : `-${field.value}`;
    if (keyPart !== undefined) field.value = `${field.value.replace(/[ -]?[0-9]+\/[0-9]+$/, "").trim()} ${keyPart}`.trim();
    if (keyNext !== undefined) { commit(field); onward(field); return; }
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}
function onward(field) {
  const enter = new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true });
  field.dispatchEvent(enter);
}

// --- photos

const photo = document.getElementById("photo");
const said = document.getElementById("photo-said");
photo?.elements.file.addEventListener("change", async () => {
  const [file] = photo.elements.file.files;
  if (!file) return;
  said.textContent = words.keeping;
  const asked = new URLSearchParams({ of: photo.dataset.of, note: photo.elements.note.value });
  said.textContent = await sent(`/photos?${asked}`, file);
  photo.reset();
  queue.refresh();
});
document.addEventListener("click", async ({ target }) => {
  const out = target.closest?.("[data-photo-out]");
  if (!out) return;
  said.textContent = await sent(`/photos/${out.dataset.photoOut}/remove`, null);
  queue.refresh();
});
async function sent(url, raw) {
  try {
    let response = await queue.post(url, {}, { raw, timeout: 60000, type: "application/octet-stream" });
    if (response.status === 403) {
      await queue.renew();
      response = await queue.post(url, {}, { raw, timeout: 60000, type: "application/octet-stream" });
    }
    if (response.ok) return "";
    return response.status === 413 ? words.too_large : ((await response.json()).sentences || []).join(" ");
  } catch { return words.nobody; }
}
