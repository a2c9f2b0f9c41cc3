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
