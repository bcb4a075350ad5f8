// Each new chart is drawn out of sight and takes the place of the old one when it is ready: no blank frame.
globalThis.gcVega ??= Promise.withResolvers?.() ?? (() => {
  const hand = {};
  hand.promise = new Promise((resolve) => { hand.resolve = resolve; });
  return hand;
})();

const OPTIONS = { renderer: "svg", actions: false, defaultStyle: false, tooltip: { theme: "custom" } };
const plain = (value) => JSON.parse(JSON.stringify(value ?? null));

async function render({ model, el }) {
  el.classList.add("gc-chart-place");
  let shown = null;
  let drawing = false;
  let wanted = true;
  let gone = false;

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
      return { place, finalize: () => result.finalize() };
    } catch (error) {
      console.error(error);
      place.className = "gc-trouble";
      place.setAttribute("role", "alert");
      place.textContent = "This chart could not be drawn; the numbers beside it stand.";
      return { place, finalize: () => {} };
    }
  };
  const draw = async () => {
    wanted = true;
    if (drawing) return;
    drawing = true;
    while (wanted && !gone) {
      wanted = false;
      const spec = model.get("spec");
      const next = spec ? await drawn(structuredClone(spec)) : null;
      shown?.finalize();
      shown?.place.remove();
      shown = next;
      el.dataset.drawn = String(Number(el.dataset.drawn ?? 0) + 1);
    }
    drawing = false;
  };
  model.on("change:spec", draw);
  draw();
  return () => {
    gone = true;
    model.off("change:spec", draw);
    shown?.finalize();
  };
}

export default { render };
