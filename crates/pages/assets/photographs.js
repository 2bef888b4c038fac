
// ---- Photographs: sending in parts that survive a bad network, and tapping points on a picture. ----
(() => {
  const PART = 256 * 1024;
  const TRIES = 40;
  const pause = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

  // The same file chosen again after the page was loaded anew goes on where it stopped.
  const idOf = (path, file) => {
    const key = `${path} ${file.name} ${file.size} ${file.lastModified}`;
    try {
      const known = sessionStorage.getItem(key) ?? crypto.randomUUID();
      sessionStorage.setItem(key, known);
      return known;
    } catch { return crypto.randomUUID(); }
  };

  // A number of bytes, or a sentence where the server refuses; what is lost on the way is asked for again.
  async function patiently(ask, wait) {
    for (let tried = 0; tried < TRIES; tried += 1) {
      try {
        const answer = await ask();
        const text = await answer.text();
        if (answer.ok) return Number(text);
        if (answer.status < 500 && answer.status !== 429) throw new Refused(answer.headers.get("content-type")?.startsWith("text/plain") ? text : "");
      } catch (error) {
        if (error instanceof Refused) throw error;
      }
      wait(tried + 1);
      await pause(Math.min(1000 * 2 ** tried, 15000));
    }
    throw new Refused("");
  }
  class Refused extends Error {}

  function sending(form) {
    const input = form.querySelector("input[type=file]");
    const said = form.querySelector(".photograph-progress");
    const path = form.getAttribute("action");
    const token = () => form.elements.csrf.value;
    const { one } = form.dataset;
    let busy = false;

    async function part(file, id, start) {
      const address = `${path}/part?file=${id}&total=${file.size}&start=${start}`;
      return fetch(address, { method: "POST", credentials: "same-origin", headers: { "x-form-token": token(), "content-type": "application/octet-stream" }, body: file.slice(start, start + PART) });
    }

    async function whole(file, id, tell) {
      const waits = () => tell("Waiting for the network. Nothing that has arrived is lost.");
      let arrived = await patiently(() => fetch(`${path}/part?file=${id}&total=${file.size}`, { credentials: "same-origin" }), waits);
      while (arrived < file.size) {
        tell(`${Math.floor(100 * arrived / file.size)} %`);
        arrived = await patiently(() => part(file, id, arrived), waits);
      }
    }

    async function all(files) {
      const sent = [];
      for (const [number, file] of files.entries()) {
        const id = idOf(path, file);
        await whole(file, id, (text) => { said.textContent = `${one ?? `Picture ${number + 1} of ${files.length}`}: ${text}`; });
        sent.push(`${id}:${file.size}`);
      }
      said.textContent = form.dataset.arrived ?? "All pictures have arrived.";
      const finish = document.createElement("form");
      finish.method = "post";
      finish.action = `${path}/arrived`;
      for (const [name, value] of [["csrf", token()], ["once", form.elements.once.value], ["files", sent.join(" ")]]) {
        const field = document.createElement("input");
        field.type = "hidden";
        field.name = name;
        field.value = value;
        finish.append(field);
      }
      document.body.append(finish);
      finish.submit();
    }

    form.addEventListener("submit", (event) => {
      const files = [...input.files];
      const most = Number(input.dataset.most);
      // What the server refuses anyway is sent as a plain form, which says why.
      if (busy || !files.length || files.length > most || files.some((file) => !file.size || file.size > Number(input.dataset.bytes)) || !globalThis.crypto?.randomUUID) return;
      event.preventDefault();
      busy = true;
      all(files).catch((error) => {
        busy = false;
        delete form.dataset.sent;
        form.querySelectorAll("button[aria-disabled]").forEach((button) => button.removeAttribute("aria-disabled"));
        said.textContent = `${one ? "The video has" : "The pictures have"} not arrived completely. ${error.message || "Press the button again: what has arrived is not sent twice."}`;
      });
    });
  }

  // Points are tapped in order; the fields hold them, so that a point can be corrected by hand.
  function measuring(section) {
    const figure = section.querySelector(".tapped");
    const picture = figure.querySelector("img");
    const [width, height] = [Number(figure.dataset.width), Number(figure.dataset.height)];
    const pairs = [...section.querySelectorAll("fieldset")].map((set) => [...set.querySelectorAll("input")]);
    const drawing = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
    drawing.setAttribute("aria-hidden", "true");
    figure.append(drawing);
    const draw = () => {
      drawing.replaceChildren();
      pairs.forEach(([x, y], number) => {
        if (x.value === "" || y.value === "") return;
        const mark = document.createElementNS("http://www.w3.org/2000/svg", "circle");
        for (const [name, value] of [["cx", x.value], ["cy", y.value], ["r", width / 60]]) mark.setAttribute(name, value);
        const text = document.createElementNS("http://www.w3.org/2000/svg", "text");
        for (const [name, value] of [["x", Number(x.value) + width / 45], ["y", y.value]]) text.setAttribute(name, value);
        text.textContent = String(number + 1);
        drawing.append(mark, text);
      });
    };
    picture.addEventListener("click", (event) => {
      const box = picture.getBoundingClientRect();
      const next = pairs.find(([x, y]) => x.value === "" || y.value === "") ?? pairs.at(-1);
      next[0].value = String(Math.round((event.clientX - box.left) / box.width * width));
      next[1].value = String(Math.round((event.clientY - box.top) / box.height * height));
      draw();
    });
    section.addEventListener("input", draw);
    draw();
  }

  // Two pictures one over the other, with a slider between them.
  function comparing(section) {
    const pictures = [...section.querySelectorAll("figure > img")];
    if (pictures.length !== 2) return;
    const over = document.createElement("div");
    over.className = "photograph-over";
    over.append(...pictures.map((picture) => { const copy = picture.cloneNode(); copy.alt = ""; return copy; }));
    const label = document.createElement("label");
    label.textContent = "One over the other: move to see the later picture ";
    const range = document.createElement("input");
    range.type = "range";
    range.min = "0";
    range.max = "100";
    range.value = "50";
    label.append(range);
    const move = () => over.lastElementChild.style.setProperty("clip-path", `inset(0 0 0 ${range.value}%)`);
    range.addEventListener("input", move);
    move();
    section.after(label, over);
  }

  addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("form.photograph-send").forEach(sending);
    document.querySelectorAll(".photograph-pair").forEach(comparing);
    document.querySelectorAll(".photograph-measure").forEach((section) => { if (section.querySelector(".tapped")) measuring(section); });
  });
})();
