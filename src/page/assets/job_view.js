// How the job is looked at: turned, moved and zoomed by mouse, finger, wheel and keys. The server draws it.

const STEP = 7.5;
const TURNS = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, STEP], ArrowDown: [0, -STEP] };
/** The picture's width in millimetres. */
const WIDE = 150;

/** Makes `place` turnable; `changed` is called at every change, `chosen` with what was clicked. */
export function viewed(place, changed, chosen) {
  let eye = [30, 25];
  let zoom = 1;
  let moved = [0, 0];

  function turn(right, up) {
    eye = [(((eye[0] + right) % 360) + 360) % 360, Math.max(-90, Math.min(90, eye[1] + up))];
    changed();
  }
  function move(right, up) {
    moved = [moved[0] + right, moved[1] + up];
    changed();
  }
  function nearer(by) {
    const next = Math.max(0.2, Math.min(60, zoom * by));
    moved = moved.map((one) => (one * next) / zoom);
    zoom = next;
    changed();
  }

  place.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const step = TURNS[event.key];
    if (step && event.shiftKey) move(step[0], step[1]);
    else if (step) turn(...step);
    else if (event.key === "+" || event.key === "=") nearer(1.25);
    else if (event.key === "-") nearer(0.8);
    else return;
    event.preventDefault();
  });
  place.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      nearer(event.deltaY < 0 ? 1.15 : 1 / 1.15);
    },
    { passive: false },
  );

  const fingers = new Map();
  let isDragged = false;
  let under = null;
  const apart = () => {
    const [one, other] = [...fingers.values()];
    return Math.hypot(one[0] - other[0], one[1] - other[1]);
  };
  place.addEventListener("pointerdown", (event) => {
    if (fingers.size === 0) [isDragged, under] = [false, event.target];
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    place.setPointerCapture(event.pointerId);
  });
  place.addEventListener("pointermove", (event) => {
    const from = fingers.get(event.pointerId);
    if (!from) return;
    const [right, down] = [event.clientX - from[0], event.clientY - from[1]];
    if (!isDragged && Math.hypot(right, down) < 4) return;
    isDragged = true;
    const before = fingers.size === 2 ? apart() : 0;
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    const mm = WIDE / place.clientWidth;
    if (fingers.size === 2) nearer(apart() / before);
    else if (event.shiftKey || event.buttons === 4) move(right * mm, -down * mm);
    else turn((-right * 180) / place.clientWidth, (down * 180) / place.clientWidth);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    place.addEventListener(end, (event) => {
      fingers.delete(event.pointerId);
      const thing = under?.closest?.("[data-tube], [data-body]");
      if (end === "pointerup" && !isDragged && thing) chosen(thing.dataset.tube, thing.dataset.body);
      under = null;
    });
  }

  return {
    from(words) {
      eye = words.split(",").map(Number);
      [zoom, moved] = [1, [0, 0]];
      changed();
    },
    nearer,
    query: () => ({ eye: eye.map((one) => one.toFixed(1)).join(), zoom: zoom.toFixed(3), moved: moved.map((one) => one.toFixed(2)).join() }),
  };
}
