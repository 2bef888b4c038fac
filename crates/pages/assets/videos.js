
// ---- Videos of gait: half speed and single pictures. Without it the browser's own controls play the video. ----
(() => {
  // No browser says how long one picture is shown; telephones take thirty a second.
  const PICTURE = 1 / 30;

  function player(section) {
    const film = section.querySelector("video");
    const failed = section.querySelector(".message");
    film.addEventListener("error", () => { failed.hidden = false; });
    // It may have failed before this script came.
    if (film.error) failed.hidden = false;
    const row = document.createElement("div");
    row.className = "video-buttons";
    const button = (words, act) => {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = words;
      made.addEventListener("click", () => act(made));
      row.append(made);
    };
    const step = (seconds) => {
      film.pause();
      film.currentTime = Math.max(0, film.currentTime + seconds);
    };
    button("Half speed", (made) => {
      const slow = film.playbackRate === 1;
      film.playbackRate = slow ? 0.5 : 1;
      made.setAttribute("aria-pressed", String(slow));
    });
    row.lastElementChild.setAttribute("aria-pressed", "false");
    button("One picture back", () => step(-PICTURE));
    button("One picture on", () => step(PICTURE));
    film.after(row);
  }

  addEventListener("DOMContentLoaded", () => { document.querySelectorAll(".gait-player").forEach(player); });
})();
