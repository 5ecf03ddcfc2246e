// New HTML settled into an element with as little change as it needs: nothing that is being typed is disturbed.

export function settle(element, html) {
  const fresh = document.createElement("template");
  fresh.innerHTML = html;
  children(element, fresh.content);
}

function keyOf(node) {
  return node.nodeType === 1 ? node.id || node.dataset.where || node.dataset.key || null : null;
}

function children(old, fresh) {
  const keyed = new Map();
  for (const node of old.childNodes) { const key = keyOf(node); if (key) keyed.set(key, node); }
  let here = old.firstChild;
  for (const node of [...fresh.childNodes]) {
    const key = keyOf(node);
    let match = null;
    if (key) match = keyed.get(key) || null;
    else if (here && !keyOf(here) && alike(here, node)) match = here;
    if (match && alike(match, node)) {
      if (match !== here) old.insertBefore(match, here);
      else here = here.nextSibling;
      one(match, node);
    } else old.insertBefore(node, here);
  }
  while (here) { const next = here.nextSibling; old.removeChild(here); here = next; }
}

function alike(a, b) { return a.nodeType === b.nodeType && a.nodeName === b.nodeName; }

function one(old, fresh) {
  if (old.nodeType !== 1) { if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue; return; }
  if (old.hasAttribute("data-own")) return;
  const typing = old === document.activeElement || old.dataset.dirty !== undefined;
  for (const { name, value } of fresh.attributes) {
    if (name === "value" && "value" in old && old.localName !== "button") {
      if (!typing) { if (old.value !== value) old.value = value; old.setAttribute(name, value); }
    } else if (name === "open") { if (!old.hasAttribute("data-touched")) old.setAttribute(name, value); }
    else if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && name !== "data-dirty" && name !== "open" && name !== "data-touched") old.removeAttribute(name);
  }
  if (old.localName === "input" && (old.type === "radio" || old.type === "checkbox") && !typing) old.checked = fresh.hasAttribute("checked");
  if (old.localName === "input" && !fresh.hasAttribute("value") && !typing && old.type === "text") old.value = "";
  children(old, fresh);
  if (old.localName === "select" && !typing) {
    const chosen = fresh.querySelector("option[selected]");
    if (chosen) old.value = chosen.getAttribute("value");
  }
}
