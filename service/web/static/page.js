"use strict";
/* The pages work without this: it adds dropping a file, progress without reloading, and local time. */

function localTimes(root) {
  for (const time of root.querySelectorAll("time[datetime]")) {
    const moment = new Date(time.dateTime);
    if (!Number.isNaN(moment.getTime())) {
      time.textContent = moment.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
    }
  }
}

function dropZone(zone) {
  const input = zone.querySelector("input[type=file]");
  const chosen = zone.querySelector("[data-chosen]");
  let depth = 0;
  const name = () => {
    const names = [...input.files].map((file) => file.name);
    chosen.textContent = names.length ? `Chosen: ${names.join(", ")}` : "";
  };
  const over = (change) => {
    depth = Math.max(0, depth + change);
    zone.classList.toggle("over", depth > 0);
  };
  const hasFiles = (event) => event.dataTransfer && event.dataTransfer.types.includes("Files");
  zone.addEventListener("dragenter", (event) => hasFiles(event) && over(1));
  zone.addEventListener("dragleave", (event) => hasFiles(event) && over(-1));
  for (const kind of ["dragover", "drop"]) {
    // A file that misses the zone must not replace the page.
    window.addEventListener(kind, (event) => hasFiles(event) && event.preventDefault());
  }
  zone.addEventListener("drop", (event) => {
    depth = 0;
    zone.classList.remove("over");
    if (event.dataTransfer.files.length) {
      input.files = event.dataTransfer.files;
      name();
    }
  });
  input.addEventListener("change", name);
}

function progress(box) {
  const status = document.querySelector("[data-status]");
  const rows = box.querySelector("tbody");
  let version = box.dataset.version;
  let timer = 0;
  let pause = 700;
  let looking = false;
  let followed = false;

  async function look() {
    window.clearTimeout(timer);
    if (looking) return;
    looking = true;
    try {
      const answer = await fetch(`${box.dataset.progress}&version=${version}`, { cache: "no-store" });
      const next = answer.headers.get("X-Next-Page");
      if (next) {
        window.location.replace(next);
        return;
      }
      if (answer.status === 200) {
        version = answer.headers.get("X-Job-Version");
        const sentence = decodeURIComponent(answer.headers.get("X-Status"));
        if (rows) rows.innerHTML = await answer.text();
        // Only a change is announced.
        if (status.textContent !== sentence) status.textContent = sentence;
        pause = 700;
      } else {
        pause = Math.min(pause * 1.3, 5000);
      }
    } catch {
      pause = Math.min(pause * 2, 15000);
    }
    looking = false;
    // Told of every change, we still look now and then: a connection can fall silent.
    timer = window.setTimeout(look, followed ? 10000 : pause);
  }

  const events = new EventSource(box.dataset.events);
  events.addEventListener("job", () => { followed = true; look(); });
  events.addEventListener("error", () => { followed = false; });
  timer = window.setTimeout(look, pause);
}

/* Where several cells are open, taking a proposal writes it into its field; all are sent together. */
function takeProposals(form) {
  const takes = [...form.querySelectorAll("[data-take]")];
  if (form.querySelectorAll(".own input").length < 2) return;
  const told = form.querySelector("[data-taken]");
  for (const take of takes) {
    take.addEventListener("click", (event) => {
      event.preventDefault();
      const cell = take.closest(".cell");
      const field = cell.querySelector(".own input");
      field.value = take.dataset.take;
      tell();
    });
  }
  const fields = [...form.querySelectorAll(".own input")];
  const tell = () => {
    const filled = fields.filter((field) => field.value.trim()).length;
    for (const field of fields) field.closest(".cell").classList.toggle("answered", field.value.trim() !== "");
    told.textContent = filled ? `${filled} of ${fields.length} answered` : "";
  };
  form.addEventListener("input", tell);
}

function sendOnce(form) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
    window.setTimeout(() => delete form.dataset.sent, 4000);
  });
}

document.documentElement.classList.add("script");
localTimes(document);
document.querySelectorAll("[data-drop]").forEach(dropZone);
document.querySelectorAll("[data-progress]").forEach(progress);
document.querySelectorAll("form.cells").forEach(takeProposals);
document.querySelectorAll("form[method=post]").forEach(sendOnce);
