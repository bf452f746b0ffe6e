import { render } from "preact";
import { startPalette } from "./client/palette.ts";
import { startPicture } from "./client/picture-store.ts";
import { startRoutes } from "./client/route.ts";
import { App } from "./views/shell/app.tsx";

startPalette();
startRoutes();
startPicture();
const page = document.getElementById("page");
if (page === null) throw new TypeError("index.html has no element with the id page");
render(<App />, page);
