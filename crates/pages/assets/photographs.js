
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

  // Points are tapped in order; the fields hold them, so that a point can be corrected by hand. After a tap the picture
  // around it is shown enlarged under a fixed cross: dragging there, with the finger beside the cross, or the arrows move
  // the point by fractions of what a finger can hit.
  const SPAN = 120;
  const svg = (name, attributes) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  };

  function points(section) {
    return [...section.querySelectorAll("fieldset")].map((set) => {
      const find = (start) => set.querySelector(`input[name^="${start}_"]`);
      return { x: find("x"), y: find("y"), how: find("how"), name: set.querySelector("legend").textContent };
    });
  }

  function magnifier(figure, picture, change) {
    const box = document.createElement("div");
    box.className = "magnifier";
    box.hidden = true;
    const head = document.createElement("p");
    head.className = "magnifier-head";
    head.setAttribute("role", "status");
    const view = document.createElement("canvas");
    view.width = view.height = 600;
    view.setAttribute("role", "img");
    const keys = document.createElement("div");
    keys.className = "magnifier-keys";
    const button = (words, label, act) => {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = words;
      if (label) made.setAttribute("aria-label", label);
      made.addEventListener("click", act);
      keys.append(made);
      return made;
    };
    button("←", "Move the point left", () => change.by(-1, 0));
    button("↑", "Move the point up", () => change.by(0, -1));
    button("↓", "Move the point down", () => change.by(0, 1));
    button("→", "Move the point right", () => change.by(1, 0));
    const right = button("This point is right", "", () => change.done());
    right.className = "magnifier-right";
    box.append(head, view, keys);
    figure.after(box);
    // A drag moves the picture under the cross: to the right shows what lies to the left.
    let drag = null;
    view.addEventListener("pointerdown", (event) => { drag = { x: event.clientX, y: event.clientY }; view.setPointerCapture(event.pointerId); });
    view.addEventListener("pointermove", (event) => {
      if (!drag) return;
      const scale = view.clientWidth / SPAN;
      change.by((drag.x - event.clientX) / scale, (drag.y - event.clientY) / scale);
      drag = { x: event.clientX, y: event.clientY };
    });
    for (const name of ["pointerup", "pointercancel"]) view.addEventListener(name, () => { drag = null; change.settle(); });
    return (at, words) => {
      box.hidden = !at;
      if (!at) return;
      head.textContent = words;
      view.setAttribute("aria-label", `${words}, enlarged`);
      const brush = view.getContext("2d");
      const scale = picture.naturalWidth / Number(figure.dataset.width);
      brush.fillStyle = "#808080";
      brush.fillRect(0, 0, view.width, view.height);
      brush.drawImage(picture, (at.x - SPAN / 2) * scale, (at.y - SPAN / 2) * scale, SPAN * scale, SPAN * scale, 0, 0, view.width, view.height);
      const middle = view.width / 2;
      for (const [colour, width] of [["#fff", 5], ["#8a2a1b", 2]]) {
        brush.strokeStyle = colour;
        brush.lineWidth = width;
        brush.beginPath();
        for (const [from, to] of [[0, middle - 14], [middle + 14, view.width]]) {
          brush.moveTo(from, middle);
          brush.lineTo(to, middle);
          brush.moveTo(middle, from);
          brush.lineTo(middle, to);
        }
        brush.stroke();
      }
    };
  }

  function measuring(section) {
    const figure = section.querySelector(".tapped");
    const picture = figure.querySelector("img");
    const [width, height] = [Number(figure.dataset.width), Number(figure.dataset.height)];
    const all = points(section);
    const empty = (point) => point.x.value === "" || point.y.value === "";
    const drawing = svg("svg", { viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" });
    figure.append(drawing);
    // Whoever taps needs no numbers; they open where one is missing or wrong.
    const numbers = section.querySelector("details.more");
    numbers.open = numbers.querySelector("[aria-invalid=true]") !== null;
    numbers.addEventListener("invalid", () => { numbers.open = true; }, true);
    // The point in the magnifier, its place with fractions, and whether the next tap moves it.
    let shown = null;
    let at = null;
    let chosen = false;

    const choices = document.createElement("div");
    choices.className = "magnifier-points";
    choices.setAttribute("role", "group");
    choices.setAttribute("aria-label", "Points that are set");
    const next = document.createElement("p");
    next.className = "magnifier-next";
    next.setAttribute("role", "status");
    const draw = () => {
      const focused = [...choices.children].indexOf(document.activeElement);
      drawing.replaceChildren();
      choices.replaceChildren();
      all.forEach((point, number) => {
        if (empty(point)) return;
        const [x, y] = [Number(point.x.value), Number(point.y.value)];
        const text = svg("text", { x: x + width / 45, y });
        text.textContent = String(number + 1);
        drawing.append(svg("circle", { cx: x, cy: y, r: width / 60 }), svg("circle", { class: "middle", cx: x, cy: y, r: width / 900 }), text);
        const button = document.createElement("button");
        button.type = "button";
        button.textContent = `Point ${number + 1}`;
        button.setAttribute("aria-pressed", String(point === shown));
        button.addEventListener("click", () => { chosen = true; look(point); });
        choices.append(button);
      });
      choices.hidden = !choices.childElementCount;
      if (focused >= 0) choices.children[focused]?.focus();
      show(at, shown ? shown.name : "");
      const missing = all.find(empty);
      next.textContent = chosen && shown ? `Tap the picture to move ${shown.name}` : missing ? `Next: tap ${missing.name}` : "All points are set.";
    };
    const clamp = (value, most) => Math.min(Math.max(value, 0), most);
    // What was found or confirmed no longer is once the point moves.
    const confirmation = (point) => {
      const box = section.querySelector(`.photograph-corner[data-point="${all.indexOf(point) + 1}"]`);
      if (box) { box.hidden = true; box.querySelector("input").checked = false; }
    };
    const put = (point, how) => {
      point.x.value = String(Math.round(at.x));
      point.y.value = String(Math.round(at.y));
      point.how.value = how ? `${how} ${point.x.value},${point.y.value}` : "";
      confirmation(point);
    };
    const look = (point) => {
      shown = empty(point) ? null : point;
      at = shown ? { x: Number(point.x.value), y: Number(point.y.value) } : null;
      draw();
    };
    const change = {
      by(dx, dy) {
        if (!shown) return;
        at = { x: clamp(at.x + dx, width), y: clamp(at.y + dy, height) };
        put(shown, "magnified");
        draw();
      },
      settle() { if (shown) { at = { x: Number(shown.x.value), y: Number(shown.y.value) }; draw(); } },
      done() {
        if (!shown) return;
        if (!shown.how.value.startsWith("found ")) put(shown, "magnified");
        chosen = false;
        shown = at = null;
        draw();
      },
    };
    const show = magnifier(figure, picture, change);
    figure.after(choices);
    figure.before(next);
    picture.addEventListener("click", (event) => {
      const box = picture.getBoundingClientRect();
      shown = (chosen && shown) || all.find(empty) || shown || all.at(-1);
      at = { x: clamp((event.clientX - box.left) / box.width * width, width), y: clamp((event.clientY - box.top) / box.height * height, height) };
      put(shown, "");
      chosen = false;
      draw();
    });
    section.addEventListener("input", (event) => {
      const point = all.find(({ x, y }) => x === event.target || y === event.target);
      if (!point) return;
      point.how.value = "";
      confirmation(point);
      look(point);
    });
    if (!picture.complete) picture.addEventListener("load", draw);
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
