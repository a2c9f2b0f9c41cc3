/* The screen that measures: holds the frame in the page, draws what was found over it, and lets a
   region be dragged. The file goes to this server alone, which keeps nothing of it. */
(function () {
    "use strict";

    const LARGEST_BYTES = 64 * 1024 * 1024;
    const REGION = { ask: "region" };
    const SVG = "http://www.w3.org/2000/svg";

    let held = null;       /* {file, url, number} */
    let picture = null;    /* what the server says of it */
    let size = null;       /* [width, height] in its own pixels */
    let runs = 0;
    let number = 0;
    let asking = null;

    const set = (id, props) => window.dash_clientside.set_props(id, props);
    const same = () => window.dash_clientside.no_update;
    const here = () => document.getElementById("measure-stage");

    /* The file */
    function hold(file) {
        if (held) {
            URL.revokeObjectURL(held.url);
        }
        number += 1;
        picture = null;
        size = null;
        held = { file, url: URL.createObjectURL(file), number };
        set("measure-file", { data: number });
    }

    function choose() {
        const input = document.createElement("input");
        input.type = "file";
        input.hidden = true;
        input.addEventListener("change", () => {
            Array.from(input.files).slice(0, 1).forEach(hold);
            input.remove();
        });
        input.addEventListener("cancel", () => input.remove());
        document.body.append(input);
        input.click();
        return same();
    }

    document.addEventListener("dragover", (event) => {
        if (here() && event.dataTransfer.types.includes("Files")) {
            event.preventDefault();
        }
    });
    document.addEventListener("drop", (event) => {
        if (here() && event.dataTransfer.files.length) {
            event.preventDefault();
            hold(event.dataTransfer.files[0]);
        }
    });

    /* The answer: the last one that was asked for, and no other */
    function show(answer) {
        picture = answer.picture;
        set("measure-told", { children: answer.told });
        set("measure-answer", { children: answer.answer });
        set("measure-figures", { children: answer.figures });
        set("measure-found", { data: answer.found });
        Object.entries(answer.wrong).forEach(([name, line]) => {
            set({ refused: name }, { children: line });
        });
        draw();
    }

    function nothing(told) {
        show({ told, wrong: {}, answer: [], figures: [], found: null, picture: null });
    }

    async function ask(run, search, theme) {
        const query = new URLSearchParams({ question: search, name: held.file.name, theme });
        try {
            const answered = await fetch(`/measure/file?${query}`, {
                method: "POST", body: held.file, signal: asking.signal,
                headers: { "Content-Type": "application/octet-stream" },
            });
            if (run !== runs) {
                return;
            }
            if (!answered.ok) {
                throw new Error(`the server answers ${answered.status}`);
            }
            const answer = await answered.json();
            if (run === runs) {
                show(answer);
            }
        } catch (error) {
            if (run === runs) {
                nothing(`${held.file.name}: not measured; ${error.message}.`);
            }
        }
        if (run === runs) {
            set("measure-progress", { children: "" });
        }
    }

    function measure(asked, _file, theme) {
        runs += 1;
        if (asking) {
            asking.abort();
        }
        if (!here()) {
            return same();
        }
        draw();
        if (!held) {
            return "Choose a frame: a still or a grab of the camera's test, bands and all.";
        }
        if (!asked) {
            set("measure-found", { data: null });
            return "Nothing is measured while something typed is wrong.";
        }
        if (held.file.size > LARGEST_BYTES) {
            nothing(`${held.file.name}: larger than 64 MB, the most that is taken here; `
                + "bandcheck measure takes more.");
            return "";
        }
        set("measure-found", { data: null });
        asking = new AbortController();
        ask(runs, asked.search, theme === "light" ? "light" : "dark");
        return `Measuring ${held.file.name} …`;
    }

    /* The picture, scaled from the file that the page holds */
    function shape(name, attributes, parent) {
        const made = document.createElementNS(SVG, name);
        Object.entries(attributes).forEach(([key, value]) => made.setAttribute(key, value));
        parent.append(made);
        return made;
    }

    function draw() {
        const stage = here();
        if (!stage) {
            return;
        }
        if (!held) {
            stage.replaceChildren();
            return;
        }
        if (stage.dataset.number !== String(held.number)) {
            stage.dataset.number = String(held.number);
            stage.replaceChildren();
            const shown = document.createElement("img");
            shown.alt = "The frame";
            shown.addEventListener("load", () => {
                size = size || [shown.naturalWidth, shown.naturalHeight];
                draw();
            });
            shown.addEventListener("error", () => shown.remove());
            shown.src = held.url;
            const over = shape("svg", { preserveAspectRatio: "none", "aria-hidden": "true" }, stage);
            drag(over);
            stage.prepend(shown);
        }
        if (picture) {
            size = picture.size;
        }
        const over = stage.querySelector("svg");
        over.replaceChildren();
        stage.hidden = Boolean(picture && picture.form === "CSV");
        if (!size) {
            return;
        }
        stage.style.aspectRatio = `${size[0]} / ${size[1]}`;
        over.setAttribute("viewBox", `0 0 ${size[0]} ${size[1]}`);
        if (picture) {
            mark(over, picture.region);
            wave(over);
        }
    }

    function mark(over, [x, y, width, height]) {
        const frame = { x, y, width, height, fill: "none", "vector-effect": "non-scaling-stroke" };
        shape("rect", { ...frame, class: "measure-region-under" }, over);
        shape("rect", { ...frame, class: "measure-region" }, over);
    }

    function wave(over) {
        const [left, top, width, height] = picture.region;
        const last = Math.max(picture.fit.length - 1, 1);
        const points = picture.fit.map((light, place) => (picture.along === "rows"
            ? [left + width * (0.5 + 0.2 * light), top + height * place / last]
            : [left + width * place / last, top + height * (0.5 - 0.2 * light)]));
        if (points.length) {
            const drawn = { points: points.map((each) => each.join()).join(" "), fill: "none",
                "vector-effect": "non-scaling-stroke" };
            shape("polyline", { ...drawn, class: "measure-region-under" }, over);
            shape("polyline", { ...drawn, class: "measure-wave" }, over);
        }
    }

    /* A region that is dragged */
    function drag(over) {
        let from = null;
        const at = (event) => {
            const box = over.getBoundingClientRect();
            const share = [(event.clientX - box.left) / box.width,
                (event.clientY - box.top) / box.height];
            return share.map((each, axis) => Math.round(
                Math.min(1, Math.max(0, each)) * size[axis],
            ));
        };
        const between = (one, other) => [
            Math.min(one[0], other[0]), Math.min(one[1], other[1]),
            Math.abs(one[0] - other[0]), Math.abs(one[1] - other[1]),
        ];
        over.addEventListener("pointerdown", (event) => {
            if (size && event.isPrimary) {
                from = at(event);
                over.setPointerCapture(event.pointerId);
            }
        });
        over.addEventListener("pointermove", (event) => {
            if (from) {
                over.replaceChildren();
                mark(over, between(from, at(event)));
            }
        });
        over.addEventListener("pointerup", (event) => {
            const region = from && between(from, at(event));
            from = null;
            if (region && region[2] && region[3]) {
                set(REGION, { value: region.join() });
            } else {
                draw();
            }
        });
        over.addEventListener("pointercancel", () => {
            from = null;
            draw();
        });
    }

    window.dash_clientside = window.dash_clientside || {};
    window.dash_clientside.measure = {
        choose, measure,
        find: (clicks) => (clicks ? "" : same()),
        nothingToTake: (found) => !found,
    };
}());
