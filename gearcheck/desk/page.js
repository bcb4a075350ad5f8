// A beat every second; no answer for three seconds and the page asks the server what has become of its kernel.
const EVERY = 1000;
const PATIENCE = 3000;
const LOST =
  "The calculation behind this page has stopped: the numbers below no longer follow. " +
  "Reload to continue; the draft is kept in the address.";
const BUSY = "The calculation is still at work: the numbers below follow when it is done.";
const SLOW = "The calculation is slow to answer: the numbers below follow.";

function settings() {
  try {
    return JSON.parse(document.getElementById("jupyter-config-data").textContent);
  } catch {
    return {};
  }
}

// A machine under load answers late: only a kernel that the server no longer has is lost.
async function said() {
  const { baseUrl, kernelId } = settings();
  if (!kernelId) return LOST;
  try {
    const signal = AbortSignal.timeout(900);
    const reply = await fetch(`${baseUrl}api/kernels/${kernelId}`, { signal, cache: "no-store" });
    const state = reply.ok ? (await reply.json()).execution_state : "dead";
    return state === "dead" ? LOST : state === "busy" ? BUSY : SLOW;
  } catch (error) {
    return error.name === "TimeoutError" ? SLOW : LOST;
  }
}

function watchKernel(model, signal) {
  const bar = document.createElement("div");
  bar.className = "gc-watch";
  bar.setAttribute("role", "alert");
  bar.hidden = true;
  document.body.prepend(bar);

  let answered = Date.now();
  let asked = 0;
  let beat = 0;
  const say = (text, lost) => {
    bar.classList.toggle("gc-trouble", lost);
    bar.classList.toggle("gc-caution", !lost);
    document.body.classList.toggle("gc-lost", lost);
    if (bar.textContent !== text) bar.textContent = text;
    bar.hidden = !text;
  };
  const hear = (message) => {
    if (message?.beat === undefined) return;
    answered = Date.now();
    say("", false);
  };
  const look = async () => {
    const now = Date.now();
    // One question at a time, so that a busy kernel finds no queue; a lost question is asked again.
    if (answered >= asked || now - asked > PATIENCE) {
      asked = now;
      try {
        model.send({ beat: ++beat });
      } catch {
        // a closed channel: the silence says it
      }
    }
    if (now - answered < PATIENCE) return;
    const text = await said();
    if (Date.now() - answered < PATIENCE || signal.aborted) return;
    say(text, text === LOST);
  };
  model.on("msg:custom", hear);
  const timer = setInterval(look, EVERY);
  signal.addEventListener("abort", () => {
    clearInterval(timer);
    model.off("msg:custom", hear);
    bar.remove();
  });
}

function keepAddress(model, signal) {
  const write = () => {
    const query = model.get("query");
    const url = location.pathname + (query ? `?${query}` : "") + location.hash;
    history.replaceState(history.state, "", url);
  };
  write();
  model.on("change:query", write);
  // A link to another sheet takes the draft along.
  const carry = (event) => {
    const link = event.target.closest?.("a[href]");
    if (!link || link.origin !== location.origin || !link.pathname.endsWith(".ipynb")) return;
    if (!link.getAttribute("href").includes("?")) link.search = location.search;
  };
  document.addEventListener("click", carry, { capture: true, signal });
  document.addEventListener("auxclick", carry, { capture: true, signal });
  signal.addEventListener("abort", () => model.off("change:query", write));
}

// A link of another sheet leads to a place that stands only when the calculation has drawn it, and then still moves.
async function arrive(signal) {
  const id = location.hash.slice(1);
  let taken = !id;
  const take = () => (taken = true);
  for (const kind of ["wheel", "keydown", "pointerdown"]) addEventListener(kind, take, { signal, once: true });
  for (let turn = 0, found = 0; turn < 200 && found < 20 && !taken && !signal.aborted; turn += 1) {
    const place = document.getElementById(id);
    if (place?.offsetParent) {
      if (!found) {
        place.tabIndex = -1;
        place.focus({ preventScroll: true });
      }
      place.scrollIntoView({ block: place.offsetHeight > innerHeight / 2 ? "start" : "center" });
      found += 1;
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

// Who writes is known to this browser, not to a server: it is asked for once.
function keepWriter(model, signal) {
  const known = localStorage.getItem("gearcheck writer");
  if (known) {
    try {
      model.set("writer", JSON.parse(known));
      model.save_changes();
    } catch {
      localStorage.removeItem("gearcheck writer");
    }
  }
  const keep = () => localStorage.setItem("gearcheck writer", JSON.stringify(model.get("writer")));
  const hear = (message) => {
    if (message?.reload) location.reload();
  };
  model.on("change:writer", keep);
  model.on("msg:custom", hear);
  signal.addEventListener("abort", () => {
    model.off("change:writer", keep);
    model.off("msg:custom", hear);
  });
}

function isTyping(target) {
  return Boolean(target?.closest?.("input, textarea, select, [contenteditable=true], [contenteditable='']"));
}

function nextTrouble(step) {
  const all = [...document.querySelectorAll("[data-trouble]")].filter((one) => one.offsetParent !== null);
  if (!all.length) return;
  const here = all.indexOf(document.activeElement);
  const next = all[here < 0 ? (step > 0 ? 0 : all.length - 1) : (here + step + all.length) % all.length];
  if (!next.hasAttribute("tabindex")) next.tabIndex = -1;
  next.focus({ preventScroll: true });
  next.scrollIntoView({ block: "center" });
}

function listenToKeys(model, signal) {
  const show = () => {
    document.body.classList.toggle("gc-present", model.get("present"));
    sessionStorage.setItem("gc-present", model.get("present") ? "1" : "");
    window.dispatchEvent(new Event("resize"));
  };
  if (sessionStorage.getItem("gc-present") && !model.get("present")) {
    model.set("present", true);
    model.save_changes();
  }
  show();
  model.on("change:present", show);
  const press = (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return;
    if (event.key === "n" || event.key === "N") nextTrouble(event.shiftKey ? -1 : 1);
    else if (event.key === "p") {
      model.set("present", !model.get("present"));
      model.save_changes();
    } else return;
    event.preventDefault();
  };
  document.addEventListener("keydown", press, { signal });
  signal.addEventListener("abort", () => model.off("change:present", show));
}

// The stock widgets leave a slider without a name, show "null" where no hint was given, and count no files.
function mendNames(signal) {
  const mend = () => {
    for (const widget of document.querySelectorAll(".widget-slider")) {
      for (const one of widget.querySelectorAll('[title="null"]')) one.removeAttribute("title");
      const label = widget.querySelector(":scope > .widget-label")?.textContent.trim();
      for (const one of widget.querySelectorAll(":scope [role=slider], :scope > .widget-readout")) {
        if (label && one.getAttribute("aria-label") !== label) one.setAttribute("aria-label", label);
      }
    }
    for (const upload of document.querySelectorAll(".widget-upload")) {
      for (const one of upload.childNodes) if (one.data?.endsWith(" (0)")) one.data = one.data.slice(0, -4);
    }
  };
  let soon = 0;
  const watch = new MutationObserver(() => {
    clearTimeout(soon);
    soon = setTimeout(mend, 100);
  });
  watch.observe(document.body, { childList: true, subtree: true });
  mend();
  signal.addEventListener("abort", () => {
    clearTimeout(soon);
    watch.disconnect();
  });
}

function render({ model, el }) {
  el.classList.add("gc-page");
  const life = new AbortController();
  watchKernel(model, life.signal);
  keepAddress(model, life.signal);
  keepWriter(model, life.signal);
  listenToKeys(model, life.signal);
  mendNames(life.signal);
  arrive(life.signal);
  return () => life.abort();
}

export default { render };
