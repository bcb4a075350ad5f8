// The first words stand until the live sheet does; a sheet that failed to start keeps them.
(() => {
  const first = document.getElementById("gc-first");
  if (!first) return;
  const late = setTimeout(() => {
    const note = first.querySelector(".gc-first-note");
    note.textContent = "As the file stood when the desk was opened. The live sheet has not come: reload to try again.";
  }, 30000);
  const look = () => {
    if (!document.querySelector("#rendered_cells .gc-live")) return;
    watch.disconnect();
    clearTimeout(late);
    first.remove();
  };
  const watch = new MutationObserver(look);
  watch.observe(document.body, { childList: true, subtree: true });
})();
