/* What the card's screen does with the files that it has been given. */
(function () {
    "use strict";

    window.dash_clientside = window.dash_clientside || {};
    window.dash_clientside.card = {
        picture: (files) => (
            files ? `data:image/png;base64,${files[".png"].content}`
                : window.dash_clientside.no_update
        ),
        saved: (_clicks, files) => {
            const pressed = window.dash_clientside.callback_context.triggered[0];
            if (!files || !pressed || !pressed.value) {
                return window.dash_clientside.no_update;
            }
            const ending = JSON.parse(pressed.prop_id.slice(0, pressed.prop_id.lastIndexOf("."))).card;
            return files[ending];
        },
        larger: (clicks) => (
            clicks % 2 ? ["large", "See the whole page"] : ["", "See it larger"]
        ),
    };
}());
