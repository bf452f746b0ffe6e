import { createDecipheriv, createECDH, createPublicKey, verify } from "node:crypto";
import { expect, test } from "vitest";
import { contentKey, encryptPush, MOST_PLAINTEXT } from "../../../collector/notify/push/encrypt.ts";
import { newVapidKey, readVapidKey, vapidSigner } from "../../../collector/notify/push/vapid.ts";

const bytes = (text: string): Buffer => Buffer.from(text, "base64url");

/** RFC 8291, section 5 and appendix A. */
const rfc8291 = {
  plaintext: "When I grow up, I want to be a watermelon",
  auth: "BTBZMqHH6r4Tts7J_aSIgg",
  receiverPrivate: "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94",
  receiverPublic: "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4",
  senderPrivate: "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw",
  senderPublic: "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8",
  salt: "DGv6ra1nlYgDCS1FRnbzlw",
  secret: "kyrL1jIIOHEzg3sM2ZWRHDRB62YACZhhSlknJ672kSs",
  key: "oIhVW04MRdy2XN9CiKLxTg",
  nonce: "4h_95klXJ5E_qnoN",
  body: "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN",
};

const keys = { p256dh: rfc8291.receiverPublic, auth: rfc8291.auth };

/** A receiver written from the RFC alone, for what has no published body. */
function decrypt(body: Buffer, privateKey: string): Buffer {
  const salt = body.subarray(0, 16);
  const sender = body.subarray(21, 21 + body[20]!);
  const record = body.subarray(21 + body[20]!);
  const own = createECDH("prime256v1");
  own.setPrivateKey(bytes(privateKey));
  const { key, nonce } = contentKey(
    own.computeSecret(sender),
    bytes(rfc8291.auth),
    bytes(rfc8291.receiverPublic),
    sender,
    salt,
  );
  const decipher = createDecipheriv("aes-128-gcm", key, nonce);
  decipher.setAuthTag(record.subarray(-16));
  const plain = Buffer.concat([decipher.update(record.subarray(0, -16)), decipher.final()]);
  const end = plain.findLastIndex((byte) => byte !== 0);
  expect(plain[end]).toBe(2);
  return plain.subarray(0, end);
}

test("RFC 8291 appendix A: the body is the published one, byte for byte", () => {
  const fixed = { salt: bytes(rfc8291.salt), privateKey: bytes(rfc8291.senderPrivate) };
  const body = encryptPush(Buffer.from(rfc8291.plaintext), keys, 0, fixed);
  expect(body.toString("base64url")).toBe(rfc8291.body);
  // The RFC prints Content-Length: 145; its body has 86 + 41 + 1 + 16 bytes.
  expect(body).toHaveLength(144);
});

test("RFC 8291 appendix A: key and nonce are the published intermediate values, and the body reads back", () => {
  const { key, nonce } = contentKey(
    bytes(rfc8291.secret),
    bytes(rfc8291.auth),
    bytes(rfc8291.receiverPublic),
    bytes(rfc8291.senderPublic),
    bytes(rfc8291.salt),
  );
  expect(key.toString("base64url")).toBe(rfc8291.key);
  expect(nonce.toString("base64url")).toBe(rfc8291.nonce);
  expect(decrypt(bytes(rfc8291.body), rfc8291.receiverPrivate).toString()).toBe(rfc8291.plaintext);
});

test("a message has its own key and salt, is padded, and reads back", () => {
  const message = Buffer.from("metal too cold, 1368 Cel, – é");
  const one = encryptPush(message, keys, 1024);
  const other = encryptPush(message, keys, 1024);
  expect(one).toHaveLength(86 + 1024 + 1 + 16);
  expect(one.subarray(0, 86)).not.toEqual(other.subarray(0, 86));
  expect(decrypt(one, rfc8291.receiverPrivate)).toEqual(message);
});

test("a byte changed anywhere in the record is noticed", () => {
  const body = encryptPush(Buffer.from("x"), keys, 0);
  for (const place of [0, 30, 86, body.length - 1]) {
    const changed = Buffer.from(body);
    changed[place]! ^= 1;
    expect(() => decrypt(changed, rfc8291.receiverPrivate)).toThrow();
  }
});

test("the longest message makes a body of 4,096 bytes, and a longer one is refused", () => {
  expect(encryptPush(Buffer.alloc(MOST_PLAINTEXT, 120), keys, 1024)).toHaveLength(4096);
  expect(MOST_PLAINTEXT).toBe(3993);
  expect(() => encryptPush(Buffer.alloc(MOST_PLAINTEXT + 1), keys, 0)).toThrow(RangeError);
});

test("keys that are none are refused", () => {
  const plain = Buffer.from("x");
  expect(() => encryptPush(plain, { ...keys, auth: "AAAA" }, 0)).toThrow(RangeError);
  expect(() => encryptPush(plain, { ...keys, p256dh: "AAAA" }, 0)).toThrow(RangeError);
  const offCurve = Buffer.alloc(65, 1);
  offCurve[0] = 4;
  expect(() => encryptPush(plain, { ...keys, p256dh: offCurve.toString("base64url") }, 0)).toThrow(RangeError);
});

/** RFC 8292, section 2.4: header, claims and signature of its example, and the key that it was signed with. */
const rfc8292 = {
  token: [
    "eyJ0eXAiOiJKV1QiLCJhbGciOiJFUzI1NiJ9",
    "eyJhdWQiOiJodHRwczovL3B1c2guZXhhbXBsZS5uZXQiLCJleHAiOjE0NTM1MjM3NjgsInN1YiI6Im1haWx0bzpwdXNoQGV4YW1wbGUuY29tIn0",
    "i3CYb7t4xfxCDquptFOepC9GAu_HLGkMlMuCGSK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW2L9OkSSHzvoD1oA",
  ].join("."),
  x: "DUfHPKLVFQzVvnCPGyfucbECzPDa7rWbXriLcysAjEc",
  y: "F6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs",
};

function isSigned(token: string, x: string, y: string): boolean {
  const [header, claims, signature] = token.split(".");
  const key = createPublicKey({ key: { kty: "EC", crv: "P-256", x, y }, format: "jwk" });
  const text = Buffer.from(`${header}.${claims}`);
  return verify("sha256", text, { key, dsaEncoding: "ieee-p1363" }, bytes(signature!));
}

test("RFC 8292 section 2.4: the check of the tests takes the published token (signature from memory)", () => {
  expect(isSigned(rfc8292.token, rfc8292.x, rfc8292.y)).toBe(true);
  expect(isSigned(rfc8292.token.replace("i3CY", "i3CX"), rfc8292.x, rfc8292.y)).toBe(false);
});

test("a token is signed by the key it names, for the service's origin, for less than a day, and used again", () => {
  const key = readVapidKey(newVapidKey());
  const signer = vapidSigner(key, "mailto:plant@example.com");
  const nowMs = 1_790_000_000_000;
  const header = signer.authorization("https://push.example.net/p/abc?x=1", nowMs);
  const [, token, public64] = /^vapid t=([\w.-]+), k=([\w-]+)$/.exec(header)!;
  const point = bytes(public64!);
  expect(public64).toBe(key.publicKey);
  expect(isSigned(token!, point.subarray(1, 33).toString("base64url"), point.subarray(33).toString("base64url"))).toBe(
    true,
  );
  const claims = JSON.parse(bytes(token!.split(".")[1]!).toString());
  expect(claims).toMatchObject({ aud: "https://push.example.net", sub: "mailto:plant@example.com" });
  expect(claims.exp - nowMs / 1000).toBeLessThanOrEqual(24 * 3600);
  expect(claims.exp - nowMs / 1000).toBeGreaterThan(3600);
  expect(signer.authorization("https://push.example.net/p/other", nowMs + 3_600_000)).toBe(header);
  expect(signer.authorization("https://push.example.net/p/abc", nowMs + 7 * 3_600_000)).not.toBe(header);
  expect(() => vapidSigner(key, "http://plant")).toThrow(RangeError);
});
