import { render } from "preact";
import { startPalette } from "../client/palette.ts";
import { startSession } from "../client/session.ts";
import { PocketApp } from "../views/pocket/pocket-app.tsx";
import { startLooking } from "./pocket-state.ts";
import { registered } from "./subscribe.ts";

startPalette();
startLooking();
void startSession();
// Opened once with a connection, it opens without one; where it cannot, the set-up page says why.
if (isSecureContext && "serviceWorker" in navigator) void registered();
const page = document.getElementById("page");
if (page === null) throw new TypeError("pocket.html has no element with the id page");
render(<PocketApp />, page);
