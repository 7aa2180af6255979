// What the page may load and whom it may talk to: its own origin, and nobody else. One source for the meta tag that the
// build writes into index.html and for the headers that our own server sends.

/** Content Security Policy Level 3 (W3C). WebAssembly needs 'wasm-unsafe-eval'; nothing inline, nothing evaluated. */
export const CONTENT_POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self'",
  "connect-src 'self'",
  "style-src 'self'",
  "font-src 'self'",
  "img-src 'self' data: blob:",
  "media-src 'self' blob:",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

/** A meta tag cannot say who may frame the page, and does not reach workers; these headers do. */
export const HEADERS = {
  'Content-Security-Policy': `${CONTENT_POLICY}; frame-ancestors 'none'`,
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), geolocation=(), microphone=(self)',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
};
