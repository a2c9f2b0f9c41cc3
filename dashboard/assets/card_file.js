/* Of a card's file only its question goes to the server: the figures are many and are not read. */
(function () {
    "use strict";

    const NAMES = ["schema", "question", "per_rate", "input_hash"];
    const LARGEST_FILE = 16 * 1024 * 1024;
    const LARGEST_SENT = 256000;
    const TOKEN = /"[^"\\]*(?:\\.[^"\\]*)*"|[{}[\],:]/g;

    /* Members of an object as they are written: read and written anew, 1.0 would become 1. */
    function members(text) {
        const found = {};
        let depth = 0;
        let name = null;
        let start = -1;
        for (const token of text.matchAll(TOKEN)) {
            const mark = token[0];
            if (depth === 1 && (mark === "," || mark === "}") && start >= 0) {
                found[name] = text.slice(start, token.index);
                start = -1;
            }
            if (mark === "{" || mark === "[") {
                depth += 1;
            } else if (mark === "}" || mark === "]") {
                depth -= 1;
            } else if (depth === 1 && mark === ":" && start < 0) {
                start = token.index + 1;
            } else if (depth === 1 && mark[0] === "\"" && start < 0) {
                name = mark.slice(1, -1);
            }
        }
        return found;
    }

    function part(text) {
        const found = members(text);
        const kept = NAMES.filter((name) => name in found);
        const question = kept.map((name) => `"${name}":${found[name]}`).join(",");
        return kept.length ? `{${question}}` : text;
    }

    async function sent(file) {
        if (file.size > LARGEST_FILE) {
            return { refused: "larger than 16 MB, the most a card may have" };
        }
        try {
            const content = await file.arrayBuffer();
            const text = part(new TextDecoder("utf-8", { fatal: true }).decode(content));
            return text.length > LARGEST_SENT
                ? { refused: "larger than 256 kB, and no card in it" } : { text };
        } catch (_error) {
            return { refused: "cannot be read: not UTF-8 text" };
        }
    }

    async function send(file) {
        /* The time makes the same file, chosen once more, another one. */
        const data = { ...await sent(file), chosen: Date.now() };
        window.dash_clientside.set_props("set-card-sent", { data });
    }

    window.dash_clientside = window.dash_clientside || {};
    window.dash_clientside.cardFile = {
        choose: () => {
            const input = document.createElement("input");
            input.type = "file";
            input.accept = ".json,application/json";
            input.hidden = true;
            input.addEventListener("change", () => {
                Array.from(input.files).slice(0, 1).forEach(send);
                input.remove();
            });
            input.addEventListener("cancel", () => input.remove());
            document.body.append(input);
            input.click();
            return window.dash_clientside.no_update;
        },
    };
}());
