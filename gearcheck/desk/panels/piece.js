// HTML that changes in place: what did not change stays as it is, with its focus, its selection and what is open.
const named = (node) => node.dataset?.key ?? node.dataset?.fold ?? node.id ?? "";
const alike = (one, other) =>
  one.nodeType === other.nodeType && one.nodeName === other.nodeName && named(one) === named(other);

function dress(old, next) {
  for (const { name, value } of next.attributes) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  for (const { name } of [...old.attributes]) {
    // a fold is opened by the reader, and a place that a key jumped to stays reachable
    const own = (name === "open" && old.dataset.fold) || name === "tabindex";
    if (!next.hasAttribute(name) && !own) old.removeAttribute(name);
  }
}

function morph(old, next) {
  const wanted = [...next.childNodes];
  // what a form was told stays with it
  const told = old.nodeName === "FORM" ? old.querySelector(":scope > .gc-refused") : null;
  told?.remove();
  wanted.forEach((child, place) => {
    const now = old.childNodes[place];
    if (!now) old.append(child);
    else if (!alike(now, child)) {
      const later = [...old.childNodes].slice(place + 1).find((one) => named(child) && alike(one, child));
      old.insertBefore(later ?? child, now);
      if (later) change(later, child);
    } else change(now, child);
  });
  while (old.childNodes.length > wanted.length) old.lastChild.remove();
  if (told) old.append(told);
}

function change(old, next) {
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.data !== next.data) old.data = next.data;
  } else if (!old.isEqualNode(next)) {
    dress(old, next);
    morph(old, next);
  }
}

let goal = 0;

// A station that was closed opens when the calculation has heard of it; the last wish counts.
async function goTo(id) {
  const own = (goal += 1);
  for (let turn = 0; turn < 300 && own === goal; turn += 1) {
    const place = document.getElementById(id);
    if (place?.offsetParent) {
      if (!place.hasAttribute("tabindex")) place.tabIndex = -1;
      place.focus({ preventScroll: true });
      place.scrollIntoView({ block: place.offsetHeight > innerHeight / 2 ? "start" : "center" });
      return;
    }
    await new Promise((resolve) => setTimeout(resolve, 30));
  }
}

// What was refused is named as the form names it, not by the key of the gear file.
function plainly(form, line) {
  const [, name, rest] = /^(\w+): ([^]*)$/.exec(line) ?? [];
  const label = name && form.elements[name]?.labels?.[0]?.firstChild?.textContent?.trim().replace(/\?$/, "");
  return (label ? `${label}: ${rest}` : line).replace("a text in quotes, ", "");
}

const said = (form, lines) => {
  form.querySelector(":scope > .gc-refused")?.remove();
  if (!lines.length) return;
  const place = document.createElement("div");
  place.className = "gc-refused gc-trouble";
  place.setAttribute("role", "alert");
  for (const line of lines) place.append(Object.assign(document.createElement("p"), { textContent: plainly(form, line) }));
  form.append(place);
};

// What is typed outlives a fold that is closed and a page that is opened anew; it goes when it is written down.
const FIELDS = "textarea, select, input:not([type=checkbox], [type=radio])";
const keyOf = (form) =>
  `gearcheck typed ${new URLSearchParams(location.search).get("record") ?? ""} ${form.dataset.form}`;

function remember(form) {
  const typed = {};
  for (const one of form.querySelectorAll(FIELDS)) typed[one.name] = one.value;
  sessionStorage.setItem(keyOf(form), JSON.stringify(typed));
}

// Whether something was typed before.
function recall(form, seen) {
  if (seen.has(form)) return false;
  seen.add(form);
  const typed = JSON.parse(sessionStorage.getItem(keyOf(form)) ?? "{}");
  for (const one of form.querySelectorAll(FIELDS)) if (one.name in typed) one.value = typed[one.name];
  return Object.keys(typed).length > 0;
}

// The fold of a form that is done: its line says what became of it, and the keyboard goes on from there.
function close(form) {
  const fold = form.closest("details[data-fold]");
  if (!fold) return;
  const inside = fold.contains(document.activeElement);
  fold.open = false;
  if (inside) fold.querySelector(":scope > summary")?.focus({ preventScroll: true });
}

// A box that is ticked with others of its name gives all of them, a line each.
function valuesOf(form) {
  const values = {};
  for (const [name, value] of new FormData(form)) values[name] = name in values ? `${values[name]}\n${value}` : value;
  return values;
}

function render({ model, el }) {
  el.classList.add("gc-piece");
  const seen = new WeakSet();
  const asked = new WeakSet();
  const write = () => {
    const sheet = document.createElement("template");
    sheet.innerHTML = model.get("html");
    const writing = document.activeElement;
    morph(el, sheet.content);
    if (el.contains(writing)) writing.focus({ preventScroll: true }); // what moves to another place loses it
    for (const form of el.querySelectorAll("form[data-form]")) if (recall(form, seen)) choose(form);
  };
  // what follows from a choice is worked out where the form says so
  const choose = (form) => {
    if (form?.dataset.live !== undefined) model.send({ chosen: form.dataset.form, values: valuesOf(form) });
  };
  const chosen = ({ target }) => {
    if (target.nodeName === "SELECT") choose(target.form);
  };
  const click = (event) => {
    const button = event.target.closest?.("[data-act]");
    if (button) model.send({ act: button.dataset.act });
    // the shell of the page writes such links out in full
    const link = event.target.closest?.('a[href*="#"]');
    const here = link && link.origin === location.origin && link.pathname === location.pathname;
    if (!here || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    history.replaceState(history.state, "", location.pathname + location.search + link.hash);
    goTo(link.hash.slice(1));
  };
  const submit = (event) => {
    const form = event.target.closest?.("form[data-form]");
    if (!form) return;
    event.preventDefault();
    if (asked.has(form)) return; // a second press before the answer writes nothing twice
    asked.add(form);
    const folds = [];
    for (let at = form.closest("[data-fold]"); at; at = at.parentElement?.closest("[data-fold]")) folds.push(at.dataset.fold);
    model.send({ form: form.dataset.form, values: valuesOf(form), folds: folds.slice(0, 1) });
  };
  const enter = ({ target, key, ctrlKey, metaKey }) => {
    if (key === "Enter" && (ctrlKey || metaKey) && target.form?.dataset.form) target.form.requestSubmit();
  };
  const typed = ({ target }) => {
    if (target.form?.dataset.form) remember(target.form);
  };
  const hear = (message) => {
    const name = message?.refused ?? message?.taken;
    if (name === undefined) return;
    for (const form of el.querySelectorAll("form[data-form]")) {
      if (form.dataset.form !== name) continue;
      asked.delete(form);
      if (message.taken !== undefined) {
        form.reset();
        sessionStorage.removeItem(keyOf(form));
        close(form);
      }
      said(form, message.why ?? []);
    }
  };
  const toggle = ({ target }) => {
    if (target.dataset.fold) model.send({ fold: target.dataset.fold, open: target.open });
  };
  write();
  model.on("change:html", write);
  el.addEventListener("click", click);
  el.addEventListener("toggle", toggle, true);
  el.addEventListener("submit", submit);
  el.addEventListener("keydown", enter);
  el.addEventListener("input", typed);
  el.addEventListener("change", chosen);
  model.on("msg:custom", hear);
  return () => {
    model.off("change:html", write);
    el.removeEventListener("click", click);
    el.removeEventListener("toggle", toggle, true);
    el.removeEventListener("submit", submit);
    el.removeEventListener("keydown", enter);
    el.removeEventListener("input", typed);
    el.removeEventListener("change", chosen);
    model.off("msg:custom", hear);
  };
}

export default { render };
