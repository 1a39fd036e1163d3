// A landing is taken hold of in the picture and dragged over its body's skin. Where the finger meets the body the server knows.

/**
 * Makes the handles within `place` draggable. `begin()` gives what questions need while it lasts, `ask(at, by, begun)` the answer for
 * the landing so many millimetres of the picture from where it was, or null; `show(answered)` shows it, `end(answered)` is told the
 * last one, or null where all is to be as it was.
 */
export function dragged(place, { begin, ask, show, end }) {
  let drag = null;

  // By where the picture is now: the page may have been scrolled.
  const at = ({ clientX, clientY }) => new DOMPoint(clientX, clientY).matrixTransform(place.querySelector("svg").getScreenCTM().inverse());

  /** While one question is answered the newest place waits for the next: none is overtaken, so something always follows. */
  async function follow() {
    const mine = drag;
    if (mine.isAsking) return;
    mine.isAsking = true;
    while (mine === drag && mine.by !== mine.asked) {
      mine.asked = mine.by;
      const answered = await ask(mine.at, mine.by, mine.begun);
      if (mine !== drag) return;
      if (answered) {
        mine.last = answered;
        show(answered);
      }
    }
    mine.isAsking = false;
    if (mine === drag && mine.isUp) stop(mine.last);
  }

  function stop(answered) {
    const { begun } = drag;
    drag = null;
    place.classList.remove("dragging");
    end(answered, begun);
  }

  // Before the picture hears of it, which would turn.
  place.addEventListener(
    "pointerdown",
    (event) => {
      if (drag) event.stopImmediatePropagation();
      const handle = event.target.closest?.("[data-point]");
      if (drag || !handle || event.button !== 0) return;
      event.stopImmediatePropagation();
      event.preventDefault();
      drag = { id: event.pointerId, at: JSON.parse(handle.dataset.point), from: at(event), begun: begin(), by: null, asked: null, last: null };
      place.setPointerCapture(event.pointerId);
      place.classList.add("dragging");
    },
    true,
  );
  place.addEventListener("pointermove", (event) => {
    if (!drag || drag.isUp || event.pointerId !== drag.id) return;
    const to = at(event);
    drag.by = [to.x - drag.from.x, drag.from.y - to.y];
    follow();
  });
  place.addEventListener("pointerup", (event) => {
    if (!drag || event.pointerId !== drag.id) return;
    drag.isUp = true;
    if (!drag.isAsking) stop(drag.last);
  });
  place.addEventListener("pointercancel", (event) => {
    if (drag && event.pointerId === drag.id) stop(null);
  });
  document.addEventListener(
    "keydown",
    (event) => {
      if (!drag || event.key !== "Escape") return;
      event.preventDefault();
      stop(null);
    },
    true,
  );
}
