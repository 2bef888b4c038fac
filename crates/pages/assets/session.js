
// ---- Drafts: what is filled in is saved on the server about a second after each change. ----
const DRAFT_PAUSE = 1000;
const DRAFT_AGAIN = 5000;
const draftsOfPage = [];

function keepsDraft(form) {
  const state = document.createElement("p");
  state.className = "draft-state";
  state.setAttribute("role", "status");
  form.append(state);
  let timer = 0, changed = false, stopped = false, running = null;
  const say = (text, failed) => {
    state.textContent = text;
    state.toggleAttribute("data-failed", failed);
  };
  const body = () => {
    const fields = new FormData(form);
    const pairs = [...fields].filter(([, value]) => typeof value === "string");
    return new URLSearchParams(pairs);
  };
  const later = (pause) => { clearTimeout(timer); timer = setTimeout(send, pause); };
  const send = async () => {
    clearTimeout(timer);
    if (!changed || stopped) return;
    if (running) { await running; return send(); }
    changed = false;
    running = (async () => {
      try {
        const answer = await fetch("/draft", { method: "POST", credentials: "same-origin", body: body() });
        if (answer.status >= 500) throw new Error(String(answer.status));
        const told = await answer.json().catch(() => ({}));
        // Nothing is kept of a form that is saved already or may not be kept.
        if (!answer.ok) { stopped = true; say(told.why ?? "This form is not kept as a draft.", true); return; }
        say(`Draft saved ${told.saved}. Not part of the record until you save the form.`, false);
      } catch {
        changed = true;
        say("Not saved as a draft: no connection. It is tried again; keep this page open.", true);
        if (!stopped) later(DRAFT_AGAIN);
      } finally { running = null; }
    })();
    return running;
  };
  form.addEventListener("input", () => { changed = true; later(DRAFT_PAUSE); });
  form.addEventListener("change", () => { changed = true; later(DRAFT_PAUSE); });
  draftsOfPage.push({
    form,
    flush: send,
    stop: () => { stopped = true; clearTimeout(timer); },
    go_on: () => { stopped = false; },
    // The page goes away: nothing waits for the answer.
    leave: () => { if (changed && !stopped && navigator.sendBeacon("/draft", body())) changed = false; },
  });
}

const flushDrafts = () => Promise.all(draftsOfPage.map((draft) => draft.flush()));
const leaveDrafts = () => draftsOfPage.forEach((draft) => draft.leave());
addEventListener("pagehide", leaveDrafts);
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") leaveDrafts(); });

// ---- The session: locked, about to end, ended. The server decides; this page asks it and does as it says. ----
const WARNED_SECONDS = 180;
const USED_EVERY = 60000;

const session = (() => {
  const person = () => document.body.dataset.person ?? "";
  let timer = 0, cover = null, lastUse = 0, lastTold = Date.now(), locksAt = Infinity, waiting = null;

  const csrf = () => document.querySelector("input[name=csrf]")?.value ?? "";
  const ask = async () => {
    const answer = await fetch("/session", { credentials: "same-origin", headers: { accept: "application/json" } });
    if (!answer.ok) throw new Error(String(answer.status));
    return answer.json();
  };
  const here = () => location.pathname + location.search;

  // What the server knows decides; a page of another person does not stay.
  const check = async () => {
    let state;
    try { state = await ask(); } catch {
      // A device without a connection is locked all the same.
      if (!cover && Date.now() >= locksAt) await showCover();
      else schedule(30);
      return null;
    }
    locksAt = state.state === "open" ? Date.now() + state.locks_in * 1000 : 0;
    if (state.state === "open" && state.person !== person()) { leaveTo("/"); return state; }
    if (state.state !== "open") { await showCover(); return state; }
    if (cover) uncover();
    warn(state);
    schedule(Math.min(state.locks_in, state.ends_in > WARNED_SECONDS ? state.ends_in - WARNED_SECONDS : state.ends_in));
    return state;
  };
  const schedule = (seconds) => {
    clearTimeout(timer);
    timer = setTimeout(due, Math.min(Math.max(seconds, 0) * 1000 + 500, 2 ** 31 - 1));
  };
  // Whoever wakes the device up sees nothing before the server has answered.
  const seenAgain = () => { if (!cover && Date.now() >= locksAt) showCover(); else check(); };
  // Reading and pointing are use too, although nothing is sent for them.
  const due = async () => {
    if (!cover && lastUse > lastTold) await stay();
    else await check();
  };
  const stay = async () => {
    lastTold = Date.now();
    try { await fetch("/session/stay", { method: "POST", credentials: "same-origin", body: new URLSearchParams({ csrf: csrf() }) }); } catch { /* asked again below */ }
    await check();
  };
  const used = () => {
    lastUse = Date.now();
    if (!cover && lastUse - lastTold > USED_EVERY) stay();
  };

  const warn = (state) => {
    document.querySelector(".ending")?.remove();
    if (state.ends_in > WARNED_SECONDS) return;
    const minutes = Math.max(1, Math.round(state.ends_in / 60));
    const bar = document.createElement("div");
    bar.className = "ending";
    bar.lang = "en";
    bar.setAttribute("role", "alert");
    const text = document.createElement("span");
    text.textContent = `You will be signed out in ${minutes === 1 ? "1 minute" : `${minutes} minutes`}.`
      + (state.is_last ? " You signed in 12 hours ago. What you fill in is kept." : " What you fill in is kept.");
    bar.append(text);
    if (!state.is_last) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = "Stay signed in";
      button.addEventListener("click", stay);
      bar.append(button);
    }
    document.body.prepend(bar);
  };

  const leaveTo = (path) => { leaveDrafts(); draftsOfPage.forEach((draft) => draft.stop()); dispatchEvent(new Event("leaving")); location.replace(path); };

  // ---- The cover: over a page that stays as it was, and shows nothing. ----
  const showCover = async (query = "") => {
    clearTimeout(timer);
    document.querySelector(".ending")?.remove();
    if (!cover) {
      cover = document.createElement("dialog");
      cover.lang = "en";
      cover.className = "cover";
      cover.setAttribute("aria-label", "Locked");
      cover.addEventListener("cancel", (event) => event.preventDefault());
      cover.addEventListener("close", () => { if (cover) cover.showModal(); });
      document.body.append(cover);
      document.body.classList.add("covered");
      cover.showModal();
    }
    await fill(`/unlock?part=1&person=${encodeURIComponent(person())}&then=${encodeURIComponent(here())}${query}`);
  };
  const fill = async (address, options = {}) => {
    try {
      const answer = await fetch(address, { credentials: "same-origin", ...options });
      const kind = answer.headers.get("content-type") ?? "";
      if (answer.status === 204) { await check(); return; }
      if (kind.startsWith("application/json")) { await opened(await answer.json()); return; }
      if (answer.redirected || !(answer.ok || answer.status === 422)) {
        if (answer.status === 429) return say("Too many attempts. Wait a minute, then try again.");
        // Something else is asked for than a name and a password: the page for it. The draft is kept.
        if (answer.redirected) return leaveTo(`/sign-in?then=${encodeURIComponent(here())}`);
        return say("This was not accepted. Try again.");
      }
      draw(await answer.text());
    } catch { say("The clinic’s computer cannot be reached. What you filled in is still here. Try again."); }
  };
  const say = (text) => {
    if (!cover) return;
    let line = cover.querySelector(".errors.connection");
    if (!line) {
      line = document.createElement("div");
      line.className = "errors connection";
      line.setAttribute("role", "alert");
      cover.prepend(line);
    }
    line.textContent = text;
    if (!cover.querySelector("form")) {
      const again = document.createElement("button");
      again.type = "button";
      again.textContent = "Try again";
      again.addEventListener("click", () => showCover());
      line.append(" ", again);
    }
  };
  const draw = (text) => {
    if (!cover) return;
    const part = new DOMParser().parseFromString(text, "text/html").querySelector("[data-unlock]");
    if (!part) { say("This was not accepted. Try again."); return; }
    cover.replaceChildren(document.adoptNode(part));
    unlocking(cover);
    cover.querySelectorAll("a[data-part]").forEach((link) => link.addEventListener("click", (event) => { event.preventDefault(); fill(`${link.getAttribute("href")}&part=1`); }));
    cover.querySelectorAll("form").forEach((form) => form.addEventListener("submit", (event) => {
      event.preventDefault();
      const fields = new URLSearchParams(new FormData(form, event.submitter));
      fields.set("part", "1");
      fill(form.getAttribute("action"), { method: "POST", body: fields });
    }));
    (cover.querySelector("input[type=password]") ?? cover.querySelector("h1")).focus();
  };
  const opened = async (answer) => {
    if (answer.person !== person()) { leaveTo(answer.then ?? "/"); return; }
    document.querySelectorAll("input[name=csrf]").forEach((field) => { field.value = answer.csrf; });
    draftsOfPage.forEach((draft) => draft.go_on());
    uncover();
    lastTold = Date.now();
    await check();
    const form = waiting;
    waiting = null;
    if (form && !cover) form();
  };
  const uncover = () => {
    const gone = cover;
    cover = null;
    gone?.close();
    gone?.remove();
    document.body.classList.remove("covered");
  };

  // ---- Saving a form: first it is asked whether the session is still there, so that nothing filled in is lost. ----
  const beforeSaving = (event) => {
    const form = event.target;
    const draft = draftsOfPage.find((draft) => draft.form === form);
    if (!draft || event.defaultPrevented) return;
    if (form.dataset.asked) { delete form.dataset.asked; draft.stop(); return; }
    event.preventDefault();
    event.stopImmediatePropagation();
    const send = () => { form.dataset.asked = "yes"; form.requestSubmit(event.submitter); };
    ask().then(async (state) => {
      await draft.flush();
      if (state.state === "open" && state.person === person()) { send(); return; }
      if (state.state === "open") { leaveTo("/"); return; }
      waiting = send;
      await showCover();
    }).catch(() => {
      const line = form.querySelector(".draft-state");
      line.textContent = "Not saved: the clinic’s computer cannot be reached. The form is still here; try again.";
      line.setAttribute("data-failed", "");
    });
  };

  const lockForm = (form) => form.addEventListener("submit", (event) => {
    event.preventDefault();
    const switching = event.submitter?.name === "switch";
    const fields = new URLSearchParams({ csrf: csrf(), part: "1" });
    const lock = async () => {
      await flushDrafts();
      const answer = await fetch("/session/lock", { method: "POST", credentials: "same-origin", body: fields });
      if (answer.ok) await showCover(switching ? "&switch=1" : "");
      else await check();
    };
    lock().catch(() => form.submit());
  });

  const begin = () => {
    if (!person()) return;
    document.addEventListener("submit", beforeSaving, true);
    // What is discarded is not saved once more while the page goes away.
    document.querySelectorAll("form[action='/drafts/discard']").forEach((form) => form.addEventListener("submit", () => draftsOfPage.forEach((draft) => draft.stop())));
    document.querySelectorAll("form[data-lock]").forEach(lockForm);
    for (const kind of ["pointerdown", "keydown", "scroll"]) addEventListener(kind, used, { passive: true, capture: true });
    addEventListener("pageshow", (event) => { if (event.persisted) { draftsOfPage.forEach((draft) => draft.go_on()); seenAgain(); } });
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") seenAgain(); });
    check();
  };
  return { begin };
})();

// ---- A keypad for the PIN: large keys, for hands in gloves. ----
function unlocking(part) {
  part.querySelectorAll("[data-keypad]").forEach((keypad) => {
    const input = keypad.closest("form").querySelector("input.pin");
    keypad.hidden = false;
    keypad.addEventListener("click", (event) => {
      const key = event.target.closest("[data-digit]");
      if (!key) return;
      input.value = key.dataset.digit === "" ? "" : (input.value + key.dataset.digit).slice(0, input.maxLength);
    });
  });
}

addEventListener("DOMContentLoaded", () => {
  document.querySelectorAll("input[name=draft]").forEach((field) => keepsDraft(field.form));
  unlocking(document);
  session.begin();
});
