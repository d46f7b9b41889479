// One paper slip after the other: a code that is not on its tray is said while it is typed, a full code goes on to the next box, Enter too.

export function desk(place: HTMLElement): void {
  const boxes = [...place.querySelectorAll<HTMLInputElement>("input[data-codes]")];
  const go_on = (from: HTMLInputElement) => {
    const next = boxes[boxes.indexOf(from) + 1] ?? place.querySelector<HTMLElement>("select, button[type=submit]");
    next?.focus();
  };
  const check = (box: HTMLInputElement, finished: boolean): boolean => {
    if (box.dataset.numbers) return true;   // scores from left to right: a 100 is no code
    const codes = (box.dataset.codes ?? "").split(" ");
    const typed = box.value.match(/\d{3}/g) ?? [];
    const wrong = typed.some(code => !codes.includes(code) && !/[.:]/.test(box.value)) || (finished && /^\d{1,2}$/.test(box.value));
    box.setAttribute("aria-invalid", String(wrong));
    const line = box.closest("label")?.nextElementSibling as HTMLElement | null;
    if (line?.classList.contains("fault")) {
      line.hidden = !wrong;
      line.textContent = wrong ? box.dataset.notHere ?? "" : "";
    }
    return !wrong;
  };
  for (const box of boxes) {
    box.addEventListener("input", () => { if (check(box, false) && box.dataset.one && /^\d{3}$/.test(box.value)) go_on(box); });
    box.addEventListener("keydown", event => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      if (check(box, true)) go_on(box);
    });
  }
}
