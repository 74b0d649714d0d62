// Pages work without this file. It keeps what was typed on this phone, and sends again what the server did not get.
(() => {
  "use strict";
  const OUTBOX = "tipward.outbox", DRAFT = "tipward.draft.", RETRY_MS = 4000;
  const OWN = new Set(["token", "key", "after"]);

  const read = (name) => { try { return JSON.parse(localStorage.getItem(name)); } catch { return null; } };
  const write = (name, value) => { try { localStorage.setItem(name, JSON.stringify(value)); } catch { /* full or forbidden */ } };
  const drop = (name) => { try { localStorage.removeItem(name); } catch { /* forbidden */ } };

  const fields = (form) => [...new FormData(form)].filter(([name, value]) =>
    !OWN.has(name) && typeof value === "string" && form.elements[name]?.type !== "password");

  function restore(form) {
    const kept = read(DRAFT + form.dataset.draft);
    if (!kept) return;
    for (const field of form.elements) {
      if (!field.name || OWN.has(field.name) || ["hidden", "password", "submit", "file"].includes(field.type)) continue;
      const values = kept.filter(([name]) => name === field.name).map(([, value]) => value);
      if (field.type === "checkbox" || field.type === "radio") {
        if (values.includes(field.value)) field.checked = true;
      } else if (values.length && (field.value === "" || field.tagName === "SELECT")) field.value = values[0];
      if (values.some((value) => value !== "")) field.closest("details")?.setAttribute("open", "");
    }
  }

  const keep = (form) => write(DRAFT + form.dataset.draft, fields(form));

  function ready(root) {
    for (const form of root.querySelectorAll("form[data-draft]")) restore(form);
    for (const box of root.querySelectorAll("[data-filter]")) {
      box.closest("[hidden]")?.removeAttribute("hidden");
      box.addEventListener("input", () => {
        const wanted = box.value.toLowerCase();
        for (const row of document.getElementById(box.dataset.filter).children)
          row.hidden = !row.textContent.toLowerCase().includes(wanted);
      });
    }
  }

  const banner = (say) => {
    const box = document.getElementById("outbox");
    if (box) { box.hidden = !say; box.textContent = say ? box.dataset[say] : ""; }
  };

  // One entry waits at a time: what comes next depends on the answer to it.
  function keepForLater(form, submitter) {
    const body = [...new FormData(form, submitter)].filter(([, value]) => typeof value === "string");
    write(OUTBOX, { action: form.action, body });
    banner("waiting");
    window.setTimeout(sendAgain, RETRY_MS);
  }

  async function sendAgain() {
    const waiting = read(OUTBOX);
    if (!waiting) { banner(""); return; }
    banner("waiting");
    try {
      if (!(await fetch("/alive", { cache: "no-store" })).ok) throw new Error("not yet");
    } catch { window.setTimeout(sendAgain, RETRY_MS); return; }
    banner("refused");
    drop(OUTBOX);
    const form = document.createElement("form");
    form.method = "post"; form.action = waiting.action; form.hidden = true;
    for (const [name, value] of waiting.body) {
      const field = document.createElement("input");
      field.type = "hidden"; field.name = name; field.value = value; form.append(field);
    }
    document.body.append(form);
    form.submit();
  }

  document.addEventListener("input", (event) => {
    const form = event.target.closest?.("form[data-draft]");
    if (form) keep(form);
  });

  // A full page answers the form: its draft has done its work unless the server refused it.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.dataset?.draft) write("tipward.sent", { name: form.dataset.draft });
    if (form.dataset?.sending) { event.preventDefault(); return; }
    if (!form.getAttribute("hx-boost")) form.dataset.sending = "yes";
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll("form[data-sending]")) delete form.dataset.sending;
  });

  function settleDraft() {
    const sent = read("tipward.sent");
    if (sent && !document.querySelector(".refused")) drop(DRAFT + sent.name);
    drop("tipward.sent");
  }

  document.addEventListener("htmx:after:swap", (event) => {
    if (event.detail?.ctx?.target !== document.body) return;
    settleDraft();
    ready(document);
    window.scrollTo(0, 0);
    (document.getElementById("refused") || document.getElementById("main"))?.focus({ preventScroll: true });
  });
  document.addEventListener("htmx:error", (event) => {
    const ctx = event.detail?.ctx, form = ctx?.sourceElement;
    if (form?.tagName === "FORM" && ctx.request?.method === "POST" && !ctx.response) keepForLater(form, ctx.request.submitter);
  });
  window.addEventListener("online", sendAgain);

  settleDraft();
  ready(document);
  if (read(OUTBOX)) sendAgain();
})();
