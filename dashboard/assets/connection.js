/* A server that is gone: the page says so, keeps what was typed, and asks again when it is back. */
(function () {
    "use strict";

    const ASKED_AT = "_dash-update-component";
    const LIVES_AT = "healthz";
    const WORDS = "The server does not answer. What you typed is kept.";
    const GONE = [502, 503, 504];  // what stands before a server says so in its place
    const NOTHING_CHANGES = 204;
    const MOST_REPEATS = 3;  // an answer that fails though the server lives is no matter of waiting
    const PAUSE_MS = 1500;

    const ask = window.fetch.bind(window);
    const place = document.createElement("p");
    place.id = "connection";
    place.className = "connection";
    place.setAttribute("role", "alert");

    let waiting = null;

    function say(words) {
        if (place.textContent !== words) {
            place.textContent = words;
        }
    }

    async function lives(address) {
        try {
            return (await ask(address, {cache: "no-store"})).ok;
        } catch (_error) {
            return false;
        }
    }

    /* All that wait do so for the same server. A short gap, such as one process of several that
       ended, is over before anything is said. */
    async function wait(address) {
        while (!await lives(address)) {
            say(WORDS);
            await new Promise((resolve) => window.setTimeout(resolve, PAUSE_MS));
        }
        say("");
        waiting = null;
    }

    function pathOf(address) {
        return typeof address === "string" ? address.split("?")[0] : "";
    }

    /* While a server is gone a question may be changed again and again: of those that wait for the
       same places of the page, only the newest is asked, and the others change nothing. */
    const newest = new Map();

    function placesOf(settings) {
        try {
            return String(JSON.parse(settings.body).output);
        } catch (_error) {
            return "";
        }
    }

    async function answered(address, settings, path) {
        const places = placesOf(settings);
        const own = (newest.get(places) || 0) + 1;
        newest.set(places, own);
        for (let repeat = 0; ; repeat += 1) {
            try {
                const answer = await ask(address, settings);
                if (!GONE.includes(answer.status) || repeat >= MOST_REPEATS) {
                    return answer;
                }
            } catch (error) {
                if (error.name === "AbortError" || repeat >= MOST_REPEATS) {
                    throw error;
                }
            }
            waiting = waiting || wait(path.replace(ASKED_AT, LIVES_AT));
            await waiting;
            if (newest.get(places) !== own) {
                return new Response(null, {status: NOTHING_CHANGES});
            }
        }
    }

    /* An answer depends on its question alone, so asking twice does no harm. */
    window.fetch = (address, settings) => {
        const path = pathOf(address);
        return path.endsWith(ASKED_AT) ? answered(address, settings, path) : ask(address, settings);
    };

    document.addEventListener("DOMContentLoaded", () => document.body.append(place));
    if (document.body) {
        document.body.append(place);
    }
}());
