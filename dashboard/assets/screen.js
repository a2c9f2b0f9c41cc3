/* What a screen does by itself: the theme, the address, and the words that belong to a field. */
(function () {
    "use strict";

    const root = document.documentElement;

    function keptTheme() {
        try {
            return JSON.parse(window.localStorage.getItem("theme")) === "light" ? "light" : "dark";
        } catch (_error) {
            return "dark";
        }
    }

    function showTheme(theme) {
        root.dataset.theme = theme === "light" ? "light" : "dark";
        return theme === "light" ? "Dark screen" : "Light screen";
    }

    showTheme(keptTheme());

    window.dash_clientside = window.dash_clientside || {};
    window.dash_clientside.screen = Object.assign(window.dash_clientside.screen || {}, {
        showTheme,
        changeTheme: (_clicks, theme) => (theme === "light" ? "dark" : "light"),
        keepAddress: (search, links) => {
            const query = search || "";
            if (query !== window.location.search) {
                const address = window.location.pathname + query + window.location.hash;
                window.history.replaceState(window.history.state, "", address);
            }
            return links.map((link) => link.page + query);
        },
    });

    /* The map of shutter settings grows a rate at a time. A newer question has a newer run, and
       whatever still comes for an older one is left out. */
    let runs = 0;

    Object.assign(window.dash_clientside.screen, {
        startMap: (answer, level) => {
            runs += 1;
            return answer ? {run: runs, level, step: 0} : null;
        },
        addRow: (row, map, task) => {
            const {no_update: same, set_props: set} = window.dash_clientside;
            if (!task) {
                return null;
            }
            if (!row || row.run !== task.run) {
                return same;
            }
            const begun = map && map.run === row.run;
            const rows = begun ? map.rows.slice() : new Array(row.fps.length).fill(null);
            rows[row.place] = row.row;
            if (row.step + 1 < row.fps.length) {
                window.setTimeout(() => {
                    if (row.run === runs) {
                        set("map-task", {data: {...task, step: row.step + 1}});
                    }
                }, 0);
            }
            return {run: row.run, fps: row.fps, rows};
        },
    });

    /* A screen reader says a field's explanation, and what is wrong with it, with the field. */
    function describe(box) {
        const control = box.querySelector("input:not([type=checkbox]), select");
        const help = box.querySelector(".field-help");
        const wrong = box.querySelector(".field-error");
        if (!control || !help || !wrong) {
            return;
        }
        const said = wrong.textContent.trim() !== "";
        const words = said ? `${wrong.id} ${help.id}` : help.id;
        if (control.getAttribute("aria-describedby") !== words) {
            control.setAttribute("aria-describedby", words);
            control.setAttribute("aria-invalid", said ? "true" : "false");
        }
    }

    function describeAll() {
        document.querySelectorAll(".field").forEach(describe);
    }

    new MutationObserver(describeAll).observe(document, {
        childList: true, subtree: true, characterData: true,
    });
}());
