import type { IncomingMessage } from "node:http";
import { TLSSocket } from "node:tls";
import type { RequestHandler } from "express";
import helmet from "helmet";

/**
 * Headers for a plant's network, plain or over TLS: nothing inline, nothing from elsewhere. Upgrading to https is
 * off, because on a LAN address it makes every asset fail; the isolation headers are, because browsers ignore them there
 * with a warning. Over TLS a browser that came once comes by TLS alone, so a certificate must not run out unnoticed.
 */
export function securityHeaders(): RequestHandler {
  const others = helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        scriptSrcAttr: ["'none'"],
        styleSrc: ["'self'"],
        fontSrc: ["'self'"],
        imgSrc: ["'self'", "data:"],
        manifestSrc: ["'self'"],
        workerSrc: ["'self'"],
        connectSrc: ["'self'", liveOrigin],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        objectSrc: ["'none'"],
      },
    },
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
    xFrameOptions: { action: "deny" },
    referrerPolicy: { policy: "no-referrer" },
  });
  return (request, response, next) => {
    if (request.socket instanceof TLSSocket) response.setHeader("Strict-Transport-Security", "max-age=31536000");
    others(request, response, next);
  };
}

/** Older browsers do not count ws: and wss: of the same host among 'self'. */
function liveOrigin(request: IncomingMessage): string {
  const host = request.headers.host ?? "";
  const scheme = request.socket instanceof TLSSocket ? "wss" : "ws";
  return /^[A-Za-z0-9.-]+(:\d+)?$|^\[[0-9a-f:.]+\](:\d+)?$/i.test(host) ? `${scheme}://${host}` : "'self'";
}
