// What every page does: sends what is typed, settles the answer into the page, shows what is amiss and what waits.

import * as queue from "/static/queue.js";
import { settle } from "/static/morph.js";

const { words } = queue;
const IDLE = 900;
let drawn = 0;
let session = null; // the field being typed in, and whether it has sent something already

// --- fields: every element with data-path is one value of the job

export function pathOf(field) { return JSON.parse(field.dataset.path); }

function valueOf(field) {
  if (field.type === "checkbox") return { put: field.checked };
  if (field.type === "range") return { put: Number(field.value) };
  if (field.dataset.put !== undefined) return { put: JSON.parse(field.value) };
  return { typed: field.value };
}

export function commit(field) {
  if (field.dataset.dirty === undefined) return;
  delete field.dataset.dirty;
  clearTimeout(field.clock);
  const again = session && session.field === field && session.sent;
  const was = field.dataset.was === undefined ? {} : { was: JSON.parse(field.dataset.was) };
  queue.edit([{ path: pathOf(field), ...valueOf(field), ...was }], { say: field.dataset.say || "", join: Boolean(again) });
  if (session && session.field === field) session.sent = true;
}

document.addEventListener("focusin", ({ target }) => {
  session = target.matches?.("[data-path]") ? { field: target, sent: false } : null;
  if (target.matches?.("input.figure")) target.select();
});
document.addEventListener("input", ({ target }) => {
  if (!target.matches?.("[data-path]") || target.type === "range") return;
  target.dataset.dirty = "";
  clearTimeout(target.clock);
  if (target.localName === "input" && target.type === "text") target.clock = setTimeout(() => commit(target), IDLE);
});
document.addEventListener("change", ({ target }) => {
  if (!target.matches?.("[data-path]")) return;
  target.dataset.dirty = "";
  commit(target);
});
document.addEventListener("keydown", (event) => {
  const { target } = event;
  if (event.key === "Enter" && target.matches?.("input[data-path]")) {
    event.preventDefault();
    commit(target);
    onward(target, event.shiftKey ? -1 : 1);
  }
  const typing = target.matches?.("input[type=text], textarea") && target.dataset.dirty !== undefined;
  if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "z" && !typing) {
    event.preventDefault();
    if (event.shiftKey) queue.redo(); else queue.undo();
  }
});

// The next field of the same round (data-round), such as the next rise.
function onward(field, step) {
  const round = field.dataset.round;
  const all = [...document.querySelectorAll(round ? `[data-round="${round}"]` : "input[data-path]")];
  const next = all[all.indexOf(field) + step];
  if (next) next.focus(); else field.blur();
}

document.addEventListener("click", ({ target }) => {
  const step = target.closest?.("[data-step]");
  if (step) { if (step.dataset.step === "undo") queue.undo(); else queue.redo(); }
  const asked = target.closest?.("[data-changes]");
  if (asked) queue.edit(JSON.parse(asked.dataset.changes), { say: asked.dataset.say || asked.textContent.trim() });
});
document.addEventListener("toggle", ({ target }) => { if (target.localName === "details") target.dataset.touched = ""; }, true);

// --- answers

export function show(told) {
  for (const [id, html] of Object.entries(told.pieces)) {
    const piece = document.getElementById(id);
    if (piece) settle(piece, html);
  }
  document.body.classList.toggle("held", !told.fresh);
  blame(told.faults);
}

// Faults stand beside their field where the page has one; the list at the top tells the others.
function blame(faults) {
  for (const note of document.querySelectorAll("[data-note]")) note.textContent = "";
  for (const field of document.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  const told = new Set();
  for (const fault of faults) {
    const note = document.querySelector(`[data-note="${CSS.escape(fault.where)}"]`);
    if (!note) continue;
    told.add(fault.where);
    note.textContent = fault.text;
    const field = document.querySelector(`[data-where="${CSS.escape(fault.where)}"]`);
    if (field) field.setAttribute("aria-invalid", "true");
    const fold = note.closest("details");
    if (fold) fold.open = true;
  }
  let left = 0;
  for (const item of document.querySelectorAll("[data-fault]")) {
    item.hidden = told.has(item.dataset.fault);
    left += item.hidden ? 0 : 1;
  }
  const list = document.querySelector(".amiss ul");
  if (list) { list.hidden = left === 0; list.parentElement.classList.toggle("quiet", left === 0); }
}

queue.on("answer", ({ told, item }) => {
  show(told);
  document.body.dataset.solved = told.fresh ? "yes" : "no";
  name("undo", told.undo, words.undo);
  name("redo", told.redo, words.redo);
  document.dispatchEvent(new CustomEvent("answered", { detail: { told, item } }));
  document.body.dataset.drawn = String(++drawn);
});

function name(id, what, verb) {
  const button = document.getElementById(id);
  if (!button) return;
  button.disabled = what === null;
  button.title = what ? `${verb}: ${what}` : verb;
}

queue.on("state", ({ waiting, trouble }) => {
  const kept = document.getElementById("kept");
  if (!kept) return;
  kept.textContent = waiting === 0 ? words.kept : trouble ? words.waits.replace("{count}", waiting) : words.keeping;
  kept.classList.toggle("waits", Boolean(trouble));
  document.body.dataset.waiting = String(waiting);
});

export function banner(sentences, buttons = []) {
  const place = document.getElementById("banner");
  place.replaceChildren();
  for (const sentence of sentences) {
    const row = document.createElement("p");
    row.textContent = sentence;
    place.append(row);
  }
  for (const [label, action] of buttons) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = label;
    button.addEventListener("click", () => { place.hidden = true; action(); });
    place.append(button, " ");
  }
  place.hidden = sentences.length === 0;
}
queue.on("refused", ({ sentences, held }) => {
  const reload = [words.reload, () => location.reload()];
  banner(sentences, held ? [reload] : [[words.close, () => {}]]);
});
queue.on("stale", ({ item, told }) => {
  const mine = (item.asked.changes || []).map((c) => c.typed ?? c.put ?? "").filter((v) => v !== "").join(", ");
  const sentence = words.stale.replace("{places}", told.stale.join(", ")).replace("{mine}", mine);
  const again = item.asked.changes.map(({ was, ...change }) => change);
  banner([sentence], [[words.mine, () => queue.edit(again, { say: item.asked.say })], [words.theirs, () => {}]]);
});

// --- leaving and coming back

addEventListener("pagehide", () => { for (const field of document.querySelectorAll("[data-dirty]")) commit(field); });
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") queue.refresh(); });
if (!queue.pending()) queue.refresh();
