// A tray that asks about each portion. All of them need their answer, but for so many as the page says may be missing: which these are nobody in the room
// knows, so their number alone decides, and a portion that was begun is to be finished. Looked at when the form is sent, before the browser does.

const boxes = (portion: HTMLElement) => [...portion.querySelectorAll<HTMLInputElement>("input")];
const is_said = (portion: HTMLElement) => boxes(portion).some(box => box.type === "number" ? box.value !== "" : box.checked);

export function hold_to_each(): void {
  document.addEventListener("click", event => {
    const form = (event.target as HTMLElement).closest<HTMLButtonElement>("button[type=submit]")?.form;
    if (form) weigh(form);
  }, { capture: true });
  document.addEventListener("change", event => {
    const box = event.target as HTMLInputElement;
    const portion = box.closest<HTMLElement>("[data-portion]");
    if (portion && box.type === "checkbox" && box.checked) part_none(boxes(portion), box);
  });
}

function weigh(form: HTMLFormElement): void {
  const portions = [...form.querySelectorAll<HTMLElement>("[data-portion]")];
  const may_lack = Number(form.querySelector<HTMLElement>("[data-may-lack]")?.dataset.mayLack ?? 0);
  const too_many = portions.filter(portion => !is_said(portion)).length > may_lack;
  for (const portion of portions)
    for (const [i, box] of boxes(portion).entries())
      if (box.type !== "checkbox") box.required = too_many || is_said(portion);
      else if (i === 0) box.setCustomValidity(too_many && !is_said(portion) ? form.querySelector("[data-need]")?.textContent ?? "" : "");
}

/// "None of these" and a word say two things at once: the later tap stands.
function part_none(all: HTMLInputElement[], tapped: HTMLInputElement): void {
  for (const box of all) if ((box.value === "0") !== (tapped.value === "0")) box.checked = false;
}
