import { existsSync } from "node:fs";
import { join } from "node:path";
import express, { type NextFunction, type Request, type Response, type Router } from "express";
import { Problem } from "./problem.ts";

/** Paths that are pages: one HTML file answers for all of them, and another for those of the phone. */
const pagePaths = [
  "/",
  "/flags",
  "/run/:id",
  "/bench",
  "/bench/:id",
  "/limits",
  "/messages",
  "/by-hand",
  "/by-hand/:id",
  "/set-up",
  "/set-up/:id",
  "/plan",
  ...["/record", "/people", "/account", "/sign-in", "/welcome", "/display"],
];
const pocketPaths = ["/pocket", "/pocket/flag/:id", "/pocket/set-up"];

/** The built pages. Hashed assets stay with the browser; the HTML is asked for anew, so that a new version shows. */
export function webPages(folder: string): Router {
  const router = express.Router();
  const pages = join(folder, "index.html");
  router.use("/assets", express.static(join(folder, "assets"), { immutable: true, maxAge: "365d", index: false }));
  router.use(express.static(folder, { index: false, redirect: false, cacheControl: false, setHeaders: revalidate }));
  router.get(pagePaths, (_request, response) => sendPage(pages, response));
  router.get(pocketPaths, (_request, response) => sendPage(join(folder, "pocket.html"), response));
  // Charts once had a page of their own: links in messages and notebooks lead to the Bench, with their flag.
  router.get("/chart/:id", ({ params, url }, response) => {
    const query = url.indexOf("?");
    response.redirect(`/bench/${encodeURIComponent(params.id)}${query < 0 ? "" : url.slice(query)}`);
  });
  router.use((request: Request, response: Response, next: NextFunction) => {
    if (wantsPage(request)) sendPage(pages, response.status(404));
    else next();
  });
  router.use((error: unknown, request: Request, response: Response, next: NextFunction) => {
    if (error instanceof URIError && wantsPage(request)) sendPage(pages, response.status(400));
    else next(error);
  });
  return router;
}

/** Somebody who typed an address gets a page that says so; what asks for anything but a page gets a problem document. */
function wantsPage(request: Request): boolean {
  return (request.method === "GET" || request.method === "HEAD") && request.accepts(["json", "html"]) === "html";
}

function sendPage(html: string, response: Response): void {
  if (!existsSync(html)) {
    throw new Problem(503, "pages-not-built", "the pages are not built: run `npm run build`, then load this again");
  }
  revalidate(response);
  response.sendFile(html, { cacheControl: false });
}

function revalidate(response: { setHeader(name: string, value: string): void }): void {
  response.setHeader("Cache-Control", "no-cache");
}
