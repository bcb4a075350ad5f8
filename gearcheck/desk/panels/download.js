// A list of files: a click asks the calculation for the bytes, and the browser saves them under their name.
function save(name, data) {
  const address = URL.createObjectURL(new Blob([data], { type: "application/octet-stream" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

function render({ model, el }) {
  el.classList.add("gc-downloads");
  const write = () => {
    const list = document.createElement("ul");
    list.className = "gc-list";
    list.setAttribute("aria-label", model.get("label"));
    for (const name of model.get("names")) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "gc-do";
      button.textContent = `save ${name}`;
      button.addEventListener("click", () => model.send({ get: name }));
      const line = document.createElement("li");
      line.append(button);
      list.append(line);
    }
    el.replaceChildren(...(model.get("names").length ? [list] : []));
  };
  const hear = (message, buffers) => {
    if (message?.file !== undefined) save(message.file, buffers[0]);
  };
  write();
  model.on("change:names", write);
  model.on("msg:custom", hear);
  return () => {
    model.off("change:names", write);
    model.off("msg:custom", hear);
  };
}

export default { render };
