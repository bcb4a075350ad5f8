// Each new chart is drawn out of sight and takes the place of the old one when it is ready: no blank frame.
globalThis.gcVega ??= Promise.withResolvers?.() ?? (() => {
  const hand = {};
  hand.promise = new Promise((resolve) => { hand.resolve = resolve; });
  return hand;
})();

// A layer without rows, such as that of the record without a draft, is no fault: errors only (1).
const OPTIONS = { logLevel: 1, renderer: "svg", actions: false, defaultStyle: false, tooltip: { theme: "custom" } };
const plain = (value) => JSON.parse(JSON.stringify(value ?? null));

// Chart text grows with the type of the page, on a wide screen and on the wall; so do the rows, lines and marks
// that it is written between, or names would run into one another.
const BODY_PX = 18;
const growth = () => Math.max(1, parseFloat(getComputedStyle(document.documentElement).fontSize) / BODY_PX);

function grown(part, factor) {
  if (Array.isArray(part)) return part.map((one) => grown(one, factor));
  if (part === null || typeof part !== "object") return part;
  const larger = (key, value) => {
    if (typeof value !== "number") return grown(value, factor);
    return /^(height|width|size|d[xy])$|(fontSize|strokeWidth)$/i.test(key) ? value * factor : value;
  };
  return Object.fromEntries(
    Object.entries(part).map(([key, value]) => [key, /^(data|datasets)$/.test(key) ? value : larger(key, value)]),
  );
}

async function render({ model, el }) {
  el.classList.add("gc-chart-place");
  let shown = null;
  let drawing = false;
  let wanted = true;
  let gone = false;
  let factor = 0;

  const listen = (view) => {
    for (const name of model.get("watch")) {
      view.addSignalListener(name, (_, value) => {
        model.set("picked", { ...model.get("picked"), [name]: plain(value) });
        model.save_changes();
      });
    }
  };
  const drawn = async (spec) => {
    const vegaEmbed = await globalThis.gcVega.promise;
    const place = document.createElement("div");
    place.className = "gc-chart-next";
    el.append(place);
    try {
      const result = await vegaEmbed(place, spec, OPTIONS);
      listen(result.view);
      place.classList.replace("gc-chart-next", "gc-chart-now");
      place.setAttribute("role", "img");
      place.setAttribute("aria-label", model.get("words") || spec.description || "chart");
      return { place, view: result.view, finalize: () => result.finalize() };
    } catch (error) {
      console.error(error);
      place.className = "gc-trouble";
      place.setAttribute("role", "alert");
      place.textContent = "This chart could not be drawn; the numbers beside it stand.";
      return { place, finalize: () => {} };
    }
  };
  // Where the rows cannot be exchanged the chart is drawn anew: it never stands still with what was before.
  const exchanged = async (view, datasets) => {
    try {
      for (const [name, rows] of Object.entries(datasets)) {
        view.change(name, view.changeset().remove(() => true).insert(structuredClone(rows)));
      }
      await view.runAsync();
      return true;
    } catch (error) {
      console.error(error);
      return false;
    }
  };
  const anew = async (spec, outline) => {
    factor = growth();
    const next = spec ? { ...(await drawn(grown(structuredClone(spec), factor))), outline } : null;
    shown?.finalize();
    shown?.place.remove();
    shown = next;
  };
  const draw = async () => {
    wanted = true;
    if (drawing) return;
    drawing = true;
    try {
      while (wanted && !gone) {
        wanted = false;
        const spec = model.get("spec");
        const outline = spec && JSON.stringify({ ...spec, datasets: Object.keys(spec.datasets ?? {}), factor: growth() });
        const same = shown?.view && outline === shown.outline;
        if (!same || !(await exchanged(shown.view, spec.datasets))) await anew(spec, outline);
        el.dataset.drawn = String(Number(el.dataset.drawn ?? 0) + 1);
      }
    } finally {
      drawing = false;
    }
  };
  const resized = () => {
    if (growth() !== factor) draw();
  };
  // A chart that was drawn while its place had no width yet learns of it from the window only.
  let wide = el.clientWidth;
  const sized = new ResizeObserver(() => {
    if (el.clientWidth && !wide) window.dispatchEvent(new Event("resize"));
    wide = el.clientWidth;
  });
  sized.observe(el);
  window.addEventListener("resize", resized);
  model.on("change:spec", draw);
  draw();
  return () => {
    gone = true;
    sized.disconnect();
    window.removeEventListener("resize", resized);
    model.off("change:spec", draw);
    shown?.finalize();
  };
}

export default { render };
