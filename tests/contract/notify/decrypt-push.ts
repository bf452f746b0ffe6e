import { createDecipheriv, createECDH, type ECDH, hkdfSync, randomBytes } from "node:crypto";

/** What a browser keeps of a subscription: it alone can read what is sent there. */
export interface PhoneKeys {
  readonly p256dh: string;
  readonly auth: string;
  decrypt(body: Buffer): Buffer;
}

export function phoneKeys(): PhoneKeys {
  const own = createECDH("prime256v1");
  own.generateKeys();
  const auth = randomBytes(16);
  return {
    p256dh: own.getPublicKey().toString("base64url"),
    auth: auth.toString("base64url"),
    decrypt: (body) => decrypt(body, own, auth),
  };
}

/** RFC 8291 and RFC 8188 from the receiver's side, written from the texts alone and sharing nothing with the sender. */
function decrypt(body: Buffer, own: ECDH, auth: Buffer): Buffer {
  const salt = body.subarray(0, 16);
  const idLength = body[20]!;
  const sender = body.subarray(21, 21 + idLength);
  const record = body.subarray(21 + idLength);
  const info = Buffer.concat([Buffer.from("WebPush: info\0"), own.getPublicKey(), sender]);
  const material = Buffer.from(hkdfSync("sha256", own.computeSecret(sender), auth, info, 32));
  const key = Buffer.from(hkdfSync("sha256", material, salt, "Content-Encoding: aes128gcm\0", 16));
  const nonce = Buffer.from(hkdfSync("sha256", material, salt, "Content-Encoding: nonce\0", 12));
  const decipher = createDecipheriv("aes-128-gcm", key, nonce);
  decipher.setAuthTag(record.subarray(-16));
  const plain = Buffer.concat([decipher.update(record.subarray(0, -16)), decipher.final()]);
  const end = plain.findLastIndex((byte) => byte !== 0);
  if (plain[end] !== 2) throw new Error("the last record does not end with its delimiter");
  return plain.subarray(0, end);
}
