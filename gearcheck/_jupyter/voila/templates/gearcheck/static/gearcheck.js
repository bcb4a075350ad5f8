// The first words stand until the live sheet does; a sheet that failed to start keeps them.
(() => {
  const first = document.getElementById("gc-first");
  if (!first) return;
  const look = () => {
    if (!document.querySelector("#rendered_cells .gc-live")) return;
    watch.disconnect();
    first.remove();
  };
  const watch = new MutationObserver(look);
  watch.observe(document.body, { childList: true, subtree: true });
})();
