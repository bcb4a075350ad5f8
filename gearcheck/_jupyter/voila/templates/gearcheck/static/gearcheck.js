// A kernel that died before anyone came leaves a page without a sheet: try once more, then say so plainly.
(() => {
  const TRIED = "gc-tried-again";
  const SHEET = '#rendered_cells script[type*="widget-view"], #rendered_cells .jupyter-widgets';
  const WRONG = '#rendered_cells :is([data-mime-type*="stderr"], [data-mime-type*="error"])';
  const say = () => {
    const bar = document.createElement("div");
    bar.className = "gc-trouble gc-unstarted";
    bar.setAttribute("role", "alert");
    bar.textContent = "The calculation behind this page did not start. ";
    const again = document.createElement("a");
    again.href = location.href;
    again.textContent = "Try again";
    bar.append(again);
    document.body.prepend(bar);
  };
  document.addEventListener("DOMContentLoaded", () => {
    if (document.querySelector(SHEET) || !document.querySelector(WRONG)) {
      sessionStorage.removeItem(TRIED);
    } else if (sessionStorage.getItem(TRIED)) {
      say();
    } else {
      sessionStorage.setItem(TRIED, "1");
      location.reload();
    }
  });
})();

// The first words stand until the live sheet does; a sheet that failed to start keeps them.
(() => {
  const first = document.getElementById("gc-first");
  if (!first) return;
  const late = setTimeout(() => {
    const note = first.querySelector(".gc-first-note");
    note.textContent += " It has not come yet: reload to try again.";
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
