/** Path of an installed Chromium, Chrome or Edge; $CHROMIUM names one directly. */
export declare function findChromium(): string | undefined;
/** Path of an installed Firefox; $FIREFOX names one directly. */
export declare function findFirefox(): string | undefined;
/** As findChromium, installing Debian's package when it can; ends the process with one line when there is none. */
export declare function ensureChromium(): string;
/** Installs Debian packages; false where this is not Debian, not root, or the packages cannot be had. */
export declare function aptInstall(packages: readonly string[]): boolean;
