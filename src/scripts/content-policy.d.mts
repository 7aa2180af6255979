/** The Content-Security-Policy of the page, without frame-ancestors, which a meta tag cannot carry. */
export declare const CONTENT_POLICY: string;
/** Headers of every answer of our own server. */
export declare const HEADERS: Readonly<Record<string, string>>;
