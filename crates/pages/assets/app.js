// Enhancements of pages that also work without them. No page needs this file; only passkeys do.
"use strict";

// ---- Theme: applied before the page is drawn, to avoid a flash of the other theme. ----
const root = document.documentElement;
const storedTheme = () => { try { return localStorage.getItem("theme"); } catch { return null; } };
const storeTheme = (theme) => { try { localStorage.setItem("theme", theme); } catch { /* not stored, but applied */ } };
if (storedTheme()) root.dataset.theme = storedTheme();

function themeButton(button) {
  const dark = () => root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  const setLabel = () => { button.textContent = dark() ? "Light" : "Dark"; button.setAttribute("aria-label", dark() ? "Switch to light colours" : "Switch to dark colours"); };
  button.hidden = false;
  button.addEventListener("click", () => { root.dataset.theme = dark() ? "light" : "dark"; storeTheme(root.dataset.theme); setLabel(); });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", setLabel);
  setLabel();
}

// ---- Sums: a score is either complete or marked as incomplete; a missing sign never counts as zero. ----
function sum(output) {
  const names = output.dataset.sum.split(" ");
  const form = output.form || output.closest("form");
  const answers = names.map((name) => form.elements[name] ? form.elements[name].value : "").filter((value) => value !== "");
  const state = answers.length === names.length ? "full" : answers.length ? "part" : "none";
  const total = answers.reduce((sum, value) => sum + Number(value), 0);
  const text = { full: `${total} of ${output.dataset.most}`, part: `incomplete, ${answers.length} of ${names.length} signs`, none: "not scored" }[state];
  output.dataset.state = state;
  if (output.textContent.trim() !== text) output.textContent = text;
}

// ---- Steppers: the first press takes the last value, or 0° where there is none; an empty field stays not ----
// ---- measured. A length without a last value has no starting point, so it must be typed.               ----
function stepper(box) {
  const input = box.querySelector("input");
  const step = Number(box.dataset.step);
  const last = box.dataset.last;
  const mark = () => box.classList.toggle("as-last", last !== undefined && input.value === last);
  const set = (value) => {
    input.value = String(Math.min(Number(input.max), Math.max(Number(input.min), value)));
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  };
  const press = (sign) => {
    if (input.value !== "") set(Number(input.value) + sign * step);
    else if (last !== undefined) set(Number(last));
    else if (Number(input.min) > 0) input.focus();
    else set(0);
  };
  const buttons = [[".step-less", () => press(-1)], [".step-more", () => press(1)],
    // Without a number there is no sign to change.
    [".step-sign", () => { if (input.value === "") input.focus(); else if (Number(input.value) !== 0) set(-Number(input.value)); }]];
  for (const [selector, pressed] of buttons) {
    const button = box.querySelector(selector);
    if (!button) continue;
    button.hidden = false;
    button.addEventListener("click", pressed);
  }
  input.addEventListener("input", mark);
  mark();
}

// ---- Fetch a fragment after a pause in typing; an outdated response is dropped. ----
function later(pause, ask, show) {
  let timer = 0;
  let turn = 0;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(async () => {
      const mine = ++turn;
      try {
        const answer = await ask();
        const text = await answer.text();
        if (mine === turn && answer.ok) show(text);
      } catch { /* the page stays as it was */ }
    }, pause);
  };
}

// ---- Visit: sums, what follows from the form as it is now, and a warning before unsaved work is lost. ----
function visit(form) {
  const panel = document.getElementById("preview");
  const announcement = document.getElementById("preview-status");
  const outputs = [...form.querySelectorAll("[data-sum]")];
  const fields = form.elements;
  // A list of radio buttons does not take an empty value, which is the answer "none" here.
  const choose = (name, value) => {
    const radio = [...form.querySelectorAll(`input[name="${name}"]`)].find((radio) => radio.value === value);
    if (radio) radio.checked = true;
  };
  const ofDay = (day) => fields[`next.purpose.${day}`]?.value ?? "";
  // The purpose that choosing a day filled in; it follows the day until another is chosen by hand.
  let filledIn = "";
  const purpose = () => {
    const wanted = ofDay(fields["next.day"].value);
    const free = fields["next.purpose"].value === filledIn;
    if (free && (wanted || fields["next.day"].value === "")) choose("next.purpose", filledIn = wanted);
  };
  const showDays = (part) => {
    const days = document.getElementById("next-days");
    if (!part || days.innerHTML === part.innerHTML) return;
    const value = fields["next.day"].value;
    const kept = [...part.querySelectorAll("input[type=radio]")].find((radio) => radio.value === value);
    // A day was chosen meanwhile that this answer does not know: the next answer does.
    if (!kept) return;
    const focused = days.contains(document.activeElement);
    days.innerHTML = part.innerHTML;
    choose("next.day", value);
    if (focused) days.querySelector("input:checked").focus({ preventScroll: true });
    purpose();
  };
  const show = (text) => {
    const parts = new DOMParser().parseFromString(text, "text/html");
    const part = (name) => parts.querySelector(`[data-part="${name}"]`);
    const open = panel.querySelector("details")?.open;
    panel.innerHTML = part("preview").innerHTML;
    const why = panel.querySelector("details");
    if (open && why) why.open = true;
    // Announced to screen readers only when the steps changed, and only the steps.
    const steps = panel.querySelector(".preview-steps")?.textContent.replace(/\s+/g, " ").trim() ?? "";
    if (announcement.textContent !== steps) announcement.textContent = steps;
    showDays(part("next-days"));
    document.getElementById("visit-day").textContent = part("visit-day").textContent;
  };
  const refresh = later(350,
    () => fetch(form.dataset.preview, { method: "POST", credentials: "same-origin", body: new URLSearchParams(new FormData(form)) }), show);
  let dirty = false;
  form.addEventListener("input", (event) => {
    dirty = true;
    outputs.forEach(sum);
    if (event.target.name === "on") document.getElementById("visit-day").textContent = event.target.value;
    if (event.target.name === "next.day") purpose();
    refresh();
  });
  // Enter in a field would press the first button of the form.
  form.addEventListener("keydown", (event) => { if (event.key === "Enter" && event.target.matches("input")) event.preventDefault(); });
  form.addEventListener("submit", () => { dirty = false; });
  addEventListener("beforeunload", (event) => { if (dirty) event.preventDefault(); });
  // Another person takes the device: the form is kept as a draft, and nothing asks.
  addEventListener("leaving", () => { dirty = false; });
  outputs.forEach(sum);
  form.querySelectorAll("[data-unscripted]").forEach((part) => { part.hidden = true; });
  form.querySelectorAll("details[data-fold]").forEach((part) => { part.open = false; });
  // Entering another day selects the answer "another day".
  const other = fields["next.other_day"];
  if (other) other.addEventListener("input", () => { if (other.value) choose("next.day", "other"); });
}

// ---- Sums alone, for the blind form, which must request nothing of the course. ----
function sums(form) {
  const outputs = [...form.querySelectorAll("[data-sum]")];
  form.addEventListener("input", () => outputs.forEach(sum));
  outputs.forEach(sum);
}

// ---- Find: results while typing. ----
// ---- The text is posted; the address holds a token for it, so that going back and loading again show the same. ----
const search = (form, part) => fetch(form.action, { method: "POST", credentials: "same-origin", body: new URLSearchParams([...new FormData(form), ["part", part]]) });

function find(form) {
  const input = form.querySelector("input[type=search]");
  const list = document.getElementById("found");
  const show = (text) => {
    list.innerHTML = text;
    const token = list.querySelector("[data-search]").dataset.search;
    form.elements.search.value = token;
    history.replaceState(null, "", `/find?search=${token}`);
  };
  const refresh = later(180, () => search(form, "1"), show);
  input.addEventListener("input", refresh);
}

// ---- The search box of every page: the best matches below it while typing. ----
function seek(form) {
  const input = form.querySelector("input[type=search]");
  const list = document.getElementById("found-above");
  const close = () => { list.hidden = true; };
  const refresh = later(180, () => search(form, "brief"),
    (text) => { list.innerHTML = text; list.hidden = input.value.trim() === ""; });
  input.addEventListener("input", refresh);
  form.addEventListener("keydown", (event) => { if (event.key === "Escape" && !list.hidden) { close(); input.focus(); } });
  document.addEventListener("click", (event) => { if (!form.contains(event.target)) close(); });
}

// ---- Import: what is chosen is planned again at once, and the person stays where they are. Requests go ----
// ---- one after the other, and only what differs from the page as drawn is sent.                        ----
function settle(work) {
  const said = document.getElementById("import-said");
  let busy = false, changed = false, timer = 0, last = null;
  const form = () => work.querySelector("form[data-settle]");
  const differs = (field) => field.type === "radio" ? field.checked && !field.defaultChecked
    : field.tagName === "SELECT" ? [...field.options].some((option) => option.selected !== option.defaultSelected)
    : field.type === "hidden" || (field.type !== "checkbox" && field.value !== field.defaultValue);
  const chosen = () => {
    const fields = [...form().elements].filter((field) => field.name && field.type !== "submit" && differs(field));
    const pairs = fields.map((field) => [field.name, field.value]);
    return new URLSearchParams([...pairs, ["part", "1"], ["at", last?.name ?? ""]]);
  };
  const show = (text) => {
    const boxLeft = document.getElementById("sheet-box")?.scrollLeft ?? 0;
    const open = [...work.querySelectorAll("details[open][id]")].map((details) => details.id);
    const ticked = [...work.querySelectorAll(".held-back input:checked")].map((box) => box.id);
    const here = document.activeElement && work.contains(document.activeElement) ? document.activeElement : last;
    const top = here?.getBoundingClientRect().top;
    work.innerHTML = text;
    open.forEach((id) => { const details = document.getElementById(id); if (details) details.open = true; });
    ticked.forEach((id) => { const box = document.getElementById(id); if (box) box.checked = true; });
    const box = document.getElementById("sheet-box");
    if (box) box.scrollLeft = boxLeft;
    const again = here?.id ? document.getElementById(here.id) : null;
    if (again) {
      again.focus({ preventScroll: true });
      scrollBy({ top: again.getBoundingClientRect().top - top, behavior: "instant" });
    }
    work.querySelectorAll("form[method=post]").forEach(once);
    said.textContent = (work.querySelector("#import-trouble") ?? work.querySelector("#import-now")).textContent;
  };
  const send = async () => {
    if (busy) return;
    busy = true;
    work.setAttribute("aria-busy", "true");
    while (changed) {
      changed = false;
      try {
        const answer = await fetch("/import/settle", { method: "POST", credentials: "same-origin", body: chosen() });
        const text = await answer.text();
        if (!answer.ok) throw new Error(answer.status);
        // Something was chosen meanwhile: the next answer is shown instead of this one.
        if (changed) form().elements.revision.value = new DOMParser().parseFromString(text, "text/html").querySelector("[name=revision]").value;
        else show(text);
      } catch { said.textContent = "The choices could not be sent. Press “Show again with these choices”."; }
    }
    work.removeAttribute("aria-busy");
    busy = false;
  };
  const change = (event) => {
    if (!event.target.form?.matches("[data-settle]") || event.target.closest(".held-back")) return;
    changed = true;
    last = event.target;
    clearTimeout(timer);
    timer = setTimeout(send, 300);
  };
  work.addEventListener("change", change);
}

// ---- Passkeys: the browser is asked when the button is pressed, and its answer is sent with the form. ----
const toBytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (letter) => letter.charCodeAt(0));
const toText = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");

async function newPasskey(asked) {
  const known = asked.known.map((id) => ({ type: "public-key", id: toBytes(id) }));
  const made = await navigator.credentials.create({ publicKey: {
    challenge: toBytes(asked.challenge), timeout: 300000, attestation: "none", excludeCredentials: known,
    rp: { id: asked.rpId, name: asked.clinic },
    user: { id: toBytes(asked.userId), name: asked.userName, displayName: asked.displayName },
    pubKeyCredParams: asked.algorithms.map((alg) => ({ type: "public-key", alg })),
    authenticatorSelection: { residentKey: "preferred", requireResidentKey: false, userVerification: "required" },
  } });
  const { clientDataJSON, attestationObject } = made.response;
  return { clientData: toText(clientDataJSON), attestation: toText(attestationObject) };
}

async function usedPasskey(asked) {
  const known = asked.known.map((id) => ({ type: "public-key", id: toBytes(id) }));
  const used = await navigator.credentials.get({ publicKey: {
    challenge: toBytes(asked.challenge), timeout: 300000, rpId: asked.rpId, allowCredentials: known, userVerification: "required",
  } });
  const { clientDataJSON, authenticatorData, signature, userHandle } = used.response;
  return { id: toText(used.rawId), clientData: toText(clientDataJSON), authenticatorData: toText(authenticatorData),
    signature: toText(signature), userHandle: userHandle ? toText(userHandle) : null };
}

function passkey(button) {
  const form = button.form, said = form.querySelector("[data-passkey-said]"), purpose = button.dataset.passkey;
  if (!window.PublicKeyCredential) return;
  form.querySelector("[data-passkey-without]").hidden = true;
  button.hidden = false;
  const tell = (text) => { said.textContent = text; said.hidden = text === ""; };
  const press = async () => {
    if (button.getAttribute("aria-disabled") || !form.reportValidity()) return;
    button.setAttribute("aria-disabled", "true");
    tell("");
    try {
      const fields = { csrf: form.elements.csrf.value, purpose, token: form.elements.token?.value ?? "" };
      const answer = await fetch(button.dataset.challenge, { method: "POST", credentials: "same-origin", body: new URLSearchParams(fields) });
      if (!answer.ok) throw new Error("The server gave no question for the passkey. Load the page again.");
      const asked = await answer.json();
      form.elements.credential.value = JSON.stringify(purpose === "new" ? await newPasskey(asked) : await usedPasskey(asked));
      form.requestSubmit();
    } catch (error) {
      const text = { NotAllowedError: "No passkey was used: it was cancelled, took too long, or the device did not recognise you.",
        InvalidStateError: "This device has a passkey of yours already." }[error.name];
      tell(text ?? `The passkey could not be used: ${error.message}`);
    }
    button.removeAttribute("aria-disabled");
  };
  button.addEventListener("click", press);
  // Enter in the field for the name presses the button.
  form.addEventListener("submit", (event) => {
    if (form.elements.credential.value !== "") return;
    event.preventDefault();
    event.stopImmediatePropagation();
    press();
  });
}

// ---- One submit at a time. The server also makes a second one harmless. ----
function once(form) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "yes";
    form.querySelectorAll("button[type=submit]").forEach((button) => button.setAttribute("aria-disabled", "true"));
  });
}

addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach((form) => {
  delete form.dataset.sent;
  form.querySelectorAll("button[aria-disabled]").forEach((button) => button.removeAttribute("aria-disabled"));
}));

addEventListener("DOMContentLoaded", () => {
  document.querySelectorAll("[data-theme-toggle]").forEach(themeButton);
  document.querySelectorAll(".stepper").forEach(stepper);
  document.querySelectorAll("form[data-visit]").forEach(visit);
  document.querySelectorAll("form[data-sums]").forEach(sums);
  document.querySelectorAll("form[data-find]").forEach(find);
  document.querySelectorAll("form[data-seek]").forEach(seek);
  document.querySelectorAll("[data-import]").forEach(settle);
  document.querySelectorAll("button[data-passkey]").forEach(passkey);
  document.querySelectorAll("button[data-print]").forEach((button) => {
    button.hidden = false;
    button.addEventListener("click", () => print());
  });
  document.querySelectorAll("form[method=post]").forEach(once);
});
