// The smaller helpers: sliders that are answered, boxes that stay ticked, lists that are searched, a file that is sent as it is.

function soon(wait: number, what: () => void): () => void {
  let timer = 0;
  return () => { clearTimeout(timer); timer = window.setTimeout(what, wait); };
}

export function look(place: HTMLElement): void {
  const form = place.querySelector("form"), answer = document.querySelector("[data-answer]");
  if (!form || !answer) return;
  let asked = 0;
  const ask = async () => {
    const mine = ++asked;
    const fields = new URLSearchParams();
    new FormData(form).forEach((value, name) => fields.append(name, String(value)));
    answer.setAttribute("aria-busy", "true");
    const reply = await fetch(place.dataset.look ?? "", { method: "POST", body: fields });
    const fresh = new DOMParser().parseFromString(await reply.text(), "text/html").querySelector("[data-answer]");
    if (mine !== asked) return;   // a later question is on its way
    answer.removeAttribute("aria-busy");
    if (fresh) answer.replaceChildren(...fresh.childNodes);
  };
  const later = soon(150, () => { ask().catch(() => answer.removeAttribute("aria-busy")); });
  form.addEventListener("input", event => {
    const box = event.target as HTMLInputElement;
    const shown = form.querySelector<HTMLElement>(`output[data-of="${box.name}"]`);
    if (shown) shown.textContent = box.value;
    later();
  });
  for (const box of form.querySelectorAll<HTMLInputElement>("input[type=range]")) {   // what the browser remembered
    const shown = form.querySelector<HTMLElement>(`output[data-of="${box.name}"]`);
    if (shown) shown.textContent = box.value;
  }
  later();
}

export function tick(box: HTMLInputElement): void {
  const key = "oddplate tick " + box.dataset.tick;
  box.checked = localStorage.getItem(key) !== null;
  box.addEventListener("change", () => { if (box.checked) localStorage.setItem(key, "1"); else localStorage.removeItem(key); });
}

export function find(box: HTMLInputElement): void {
  box.addEventListener("input", () => {
    const wanted = box.value.toLowerCase();
    for (const row of document.querySelectorAll<HTMLElement>(box.dataset.find ?? "")) row.hidden = !(row.textContent ?? "").toLowerCase().includes(wanted);
  });
}

export function send_file(box: HTMLInputElement): void {
  box.addEventListener("change", async () => {
    const file = box.files?.[0];
    if (!file) return;
    const reply = await fetch(box.dataset.send ?? "", { method: "POST", body: await file.text(), headers: { "Content-Type": "application/json", "X-Form": box.dataset.form ?? "" } });
    if (reply.ok) { location.assign(reply.url); return; }
    const said = new DOMParser().parseFromString(await reply.text(), "text/html").querySelector("main");
    if (said) document.querySelector("main")?.replaceWith(said);
  });
}
