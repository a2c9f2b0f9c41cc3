/* The plan's screen: its text, the matrix that grows a set-up at a time, and files. */
(function () {
    "use strict";

    const LARGEST_BYTES = 256 * 1024;
    const OWN = "own";
    let runs = 0;

    const same = () => window.dash_clientside.no_update;
    const none = (number) => new Array(number).fill(same());

    async function content(file) {
        if (file.size > LARGEST_BYTES) {
            return { refused: `${file.size} bytes; a plan has at most ${LARGEST_BYTES}` };
        }
        try {
            const bytes = await file.arrayBuffer();
            return { text: new TextDecoder("utf-8", { fatal: true }).decode(bytes) };
        } catch (_error) {
            return { refused: "cannot be read: not UTF-8 text" };
        }
    }

    async function send(file, target) {
        /* The time makes the same file, chosen once more, another one. */
        const data = { ...await content(file), name: file.name, chosen: Date.now() };
        window.dash_clientside.set_props(target, { data });
    }

    function choose(target) {
        const input = document.createElement("input");
        input.type = "file";
        input.hidden = true;
        input.addEventListener("change", () => {
            Array.from(input.files).slice(0, 1).forEach((file) => send(file, target));
            input.remove();
        });
        input.addEventListener("cancel", () => input.remove());
        document.body.append(input);
        input.click();
        return same();
    }

    function pressed() {
        const changed = window.dash_clientside.callback_context.triggered;
        return changed.length ? changed[0] : { prop_id: "", value: null };
    }

    /* Outputs: text, choice, text before, whether there is none, what became of a file. */
    function settle(typed, choice, sent, _back, shipped, before) {
        const text = typed || "";
        const known = Object.values(shipped);
        const kept = text && !known.includes(text) ? text : before || null;
        const name = pressed().prop_id;
        if (name.startsWith("plan-sent")) {
            if (!sent) {
                return none(5);
            }
            return sent.refused
                ? [same(), same(), same(), same(), `${sent.name}: ${sent.refused}.`]
                : [sent.text, OWN, kept, !kept, ""];
        }
        if (name.startsWith("plan-back")) {
            return before ? [before, OWN, text || null, !text, ""] : none(5);
        }
        if (name.includes("plan_toml")) {
            return choice === OWN || shipped[choice] === text
                ? none(5) : [same(), OWN, same(), same(), ""];
        }
        return choice in shipped && shipped[choice] !== text
            ? [shipped[choice], same(), kept, !kept, ""] : none(5);
    }

    function start(read) {
        runs += 1;
        return read && read.parts ? { run: runs, key: read.key, step: 0 } : null;
    }

    function add(found, body, moves, cells, task) {
        if (!found || !task || found.run !== task.run || found.run !== runs) {
            return none(4);
        }
        if (found.step + 1 < found.of) {
            window.setTimeout(() => {
                if (found.run === runs && document.getElementById("plan-body")) {
                    window.dash_clientside.set_props(
                        "plan-task", { data: { ...task, step: found.step + 1 } },
                    );
                }
            }, 0);
        }
        const rows = body.slice();
        if (found.row) {
            rows[found.step] = found.row;
        }
        const known = cells && cells.run === found.run ? cells.found : {};
        return [
            rows, (moves || []).concat(found.moves),
            { run: found.run, found: { ...known, ...found.cells } }, found.progress,
        ];
    }

    function tap(_clicks, cells) {
        const { prop_id: name, value } = pressed();
        if (!value || !cells) {
            return none(2);
        }
        const button = JSON.parse(name.slice(0, name.lastIndexOf(".")));
        const cell = cells.found[`${button.cell} ${button.at}`];
        if (!cell) {
            return none(2);
        }
        window.setTimeout(() => document.getElementById("plan-detail").focus(), 60);
        return [cell.view, cell.picked];
    }

    function other(choice, sent, shipped) {
        if (pressed().prop_id.startsWith("plan-other-sent")) {
            if (!sent) {
                return none(2);
            }
            return sent.refused ? [null, `${sent.name}: ${sent.refused}.`]
                : [{ text: sent.text }, `Against ${sent.name}.`];
        }
        return choice in shipped ? [{ text: shipped[choice] }, `Against ${choice}.`] : none(2);
    }

    function save(clicks, text) {
        return clicks && text
            ? { filename: "plan.toml", content: text, type: "application/toml" } : same();
    }

    window.dash_clientside = window.dash_clientside || {};
    window.dash_clientside.plan = {
        settle, start, add, tap, other, save,
        choose: () => choose("plan-sent"),
        chooseOther: () => choose("plan-other-sent"),
    };
}());
