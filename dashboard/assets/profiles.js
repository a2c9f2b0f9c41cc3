/* A file that is chosen goes to the server only if a profile could be so large. */
(function () {
    "use strict";

    const LARGEST_BYTES = 256 * 1024;

    function send(file, contents) {
        /* The time makes the same file, chosen once more, another one. */
        const sent = { name: file.name, size: file.size, contents, chosen: Date.now() };
        window.dash_clientside.set_props("profile-sent", { data: sent });
    }

    function read(file) {
        if (file.size > LARGEST_BYTES) {
            send(file, "");
            return;
        }
        const reader = new FileReader();
        reader.addEventListener("loadend", () => {
            const address = reader.result || "";
            send(file, address.slice(address.indexOf(",") + 1));
        });
        reader.readAsDataURL(file);
    }

    window.dash_clientside = window.dash_clientside || {};
    window.dash_clientside.profiles = {
        chooseFile: () => {
            const input = document.createElement("input");
            input.type = "file";
            input.hidden = true;
            input.addEventListener("change", () => {
                Array.from(input.files).slice(0, 1).forEach(read);
                input.remove();
            });
            input.addEventListener("cancel", () => input.remove());
            document.body.append(input);
            input.click();
            return window.dash_clientside.no_update;
        },
    };
}());
