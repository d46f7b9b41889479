// A part of a page that keeps itself fresh: asks every two seconds, and is told in a few bytes where nothing has changed.

export function live(place: HTMLElement): void {
  const path = place.dataset.live ?? "";
  const lost = document.createElement("p");
  lost.className = "fault";
  lost.hidden = true;
  lost.textContent = place.dataset.lost ?? "";
  place.before(lost);
  let tag = "";
  const ask = async () => {
    if (!document.hidden) {
      try {
        const reply = await fetch(path, tag ? { headers: { "If-None-Match": tag } } : {});
        lost.hidden = true;
        if (reply.status === 200) {
          tag = reply.headers.get("ETag") ?? "";
          const fresh = new DOMParser().parseFromString(await reply.text(), "text/html").querySelector("[data-live]");
          if (fresh) place.replaceChildren(...fresh.childNodes);
        }
      } catch {
        lost.hidden = false;
      }
    }
    setTimeout(ask, 2000);
  };
  setTimeout(ask, 2000);
}
