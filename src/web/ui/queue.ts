// A taster's answers: kept on the phone before they are sent, and dropped there only when the host has said that they are kept. Link and tray are the key
// under which the host keeps an answer once, so sending again does no harm.

import { bring_back, drop_half, keep_half } from "./half";

interface Held { path: string; body: string; shown: string }

const shelf = (root: string) => "oddplate " + root;

function held(root: string): Held[] {
  try {
    return JSON.parse(localStorage.getItem(shelf(root)) ?? "[]") as Held[];
  } catch {
    return [];   // somebody else's text: nothing of ours is lost with it
  }
}

function hold(root: string, answers: Held[]): void {
  if (answers.length) localStorage.setItem(shelf(root), JSON.stringify(answers));
  else localStorage.removeItem(shelf(root));
}

function body_of(form: HTMLFormElement, by: HTMLElement | null): string {
  const fields = new URLSearchParams();
  new FormData(form).forEach((value, name) => fields.append(name, String(value)));
  if (by instanceof HTMLButtonElement && by.name) fields.set(by.name, by.value);
  return fields.toString();
}

export class Phone {
  private sending = false;
  private asking = false;
  private tries = 0;
  private readonly root: string;

  constructor(private readonly place: HTMLElement) {
    this.root = place.dataset.queue ?? "";
    place.addEventListener("submit", event => this.on_submit(event as SubmitEvent));
    place.addEventListener("input", event => {
      const form = (event.target as HTMLInputElement).form;
      if (form) setTimeout(() => { if (form.isConnected) keep_half(form); });   // when all that a tap changes has changed
    });
    place.querySelectorAll<HTMLFormElement>("section form").forEach(bring_back);
    addEventListener("online", () => this.send());
    addEventListener("pageshow", () => this.send());
    document.addEventListener("visibilitychange", () => { if (!document.hidden) { this.send(); this.ask_anew(); } });
    place.addEventListener("invalid", () => this.ask_anew(), { capture: true });   // what this page misses may have run out meanwhile
    const waiting = held(this.root);
    if (waiting.length) {
      this.skip(waiting);
      this.send();
    }
    this.pause();
  }

  private on_submit(event: SubmitEvent): void {
    const form = event.target as HTMLFormElement;
    const path = new URL(form.action).pathname;
    const body = body_of(form, event.submitter);
    const answers = held(this.root).filter(each => each.path !== path);
    const picked = [...form.querySelectorAll<HTMLInputElement>("input:checked, [data-order] input")]
      .sort((a, b) => a.type === "number" && b.type === "number" ? Number(a.value) - Number(b.value) : 0)
      .map(box => (box.parentElement?.innerText ?? "").trim()).join(" ");
    try {
      hold(this.root, [...answers, { path, body, shown: picked }]);
    } catch {
      return;   // a phone that keeps nothing sends the plain form
    }
    event.preventDefault();
    drop_half(form);
    this.say(this.place.dataset.sending ?? "");
    this.next();
    this.send();
  }

  /// What is waiting was answered here already: its trays are not asked again.
  private skip(waiting: Held[]): void {
    const done = new Set(waiting.map(each => each.path.split("/").pop()));
    const now = this.place.querySelector<HTMLElement>("section[data-tray]");
    if (now && done.has(now.dataset.tray)) this.next(done);
  }

  private next(done: Set<string | undefined> = new Set()): void {
    const section = this.place.querySelector("section[data-tray]");
    for (const folded of this.place.querySelectorAll<HTMLTemplateElement>("template[data-tray]")) {
      if (done.has(folded.dataset.tray)) { folded.remove(); continue; }
      const fresh = document.createElement("section");
      fresh.dataset.tray = folded.dataset.tray;
      fresh.append(folded.content.cloneNode(true));
      folded.remove();
      section?.replaceWith(fresh);
      fresh.querySelectorAll("form").forEach(bring_back);
      scrollTo(0, 0);
      fresh.tabIndex = -1;
      fresh.focus({ preventScroll: true });
      this.pause();
      return;
    }
  }

  private async send(): Promise<void> {
    if (this.sending) return;
    this.sending = true;
    try {
      for (let answers = held(this.root); answers.length; answers = held(this.root)) {
        const first = answers[0]!;
        const gone = new AbortController();
        const timer = setTimeout(() => gone.abort(), 8000);
        const reply = await fetch(first.path, { method: "POST", body: first.body, headers: { "Content-Type": "application/x-www-form-urlencoded" }, signal: gone.signal });
        const text = await reply.text();
        clearTimeout(timer);
        if (reply.status >= 500 || reply.status === 429) throw new Error("later");
        hold(this.root, held(this.root).filter(each => each.path !== first.path));
        const page = new DOMParser().parseFromString(text, "text/html");
        if (!reply.ok) return this.show(page);   // refused: the page says why and how to go on
        this.tries = 0;
        this.take_in(page);
        this.say(page.querySelector(".kept:not([hidden])")?.textContent ?? "");
      }
    } catch {
      this.say((this.place.dataset.held ?? "").replace("%", String(held(this.root).length)));
      setTimeout(() => this.send(), Math.min(1000 * 2 ** this.tries++, 15000));
    } finally {
      this.sending = false;
    }
  }

  private async ask_anew(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    try {
      const reply = await fetch(this.root);
      if (reply.ok) this.take_in(new DOMParser().parseFromString(await reply.text(), "text/html"));
    } catch {
      addEventListener("online", () => this.ask_anew(), { once: true });
    } finally {
      this.asking = false;
    }
  }

  /// A recipe may have run out since this page was opened: its trays to come are the host's present ones, and the tray in hand learns what it may lack.
  private take_in(page: Document): void {
    const inside = (tray: HTMLElement) => tray instanceof HTMLTemplateElement ? tray.content : tray;
    for (const fresh of page.querySelectorAll<HTMLElement>("[data-tray]"))
      for (const mine of this.place.querySelectorAll<HTMLElement>(`[data-tray="${fresh.dataset.tray}"]`)) {
        const news = [...inside(fresh).querySelectorAll("[data-withdrawn]")], told = [...mine.querySelectorAll("[data-withdrawn]")];
        if (mine instanceof HTMLTemplateElement) mine.content.replaceChildren(...inside(fresh).cloneNode(true).childNodes);
        else if (news.length !== told.length || news.some((each, i) => !each.isEqualNode(told[i] ?? null))) {
          told.forEach(each => each.remove());
          const form = mine.querySelector("form");
          for (const each of news)
            if (each instanceof HTMLButtonElement) form?.append(each.cloneNode(true));
            else form?.querySelector(":scope > fieldset")?.after(each.cloneNode(true));
        }
      }
  }

  private show(page: Document): void {
    const fresh = page.querySelector("main");
    if (fresh) document.querySelector("main")?.replaceWith(fresh);
  }

  private say(text: string): void {
    const line = this.place.querySelector<HTMLElement>(".kept");
    if (!line) return;
    line.hidden = text === "";
    line.textContent = text;
  }

  /// Counts down the pause between two trays. It never holds an answer back.
  private pause(): void {
    const line = this.place.querySelector<HTMLElement>("section .wait");
    if (!line) return;
    const end = Date.now() + 60000 * Number(line.dataset.minutes);
    const words = this.place.dataset.wait ?? "", ready = this.place.dataset.ready ?? "";
    const tick = () => {
      if (!line.isConnected) return;
      const left = Math.max(0, Math.round((end - Date.now()) / 1000));
      line.textContent = left ? words.replace("%", `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`) : ready;
      if (left) setTimeout(tick, 1000);
    };
    tick();
  }
}
