import type { Plugin } from 'vite';

/** Manifest, icons and service worker for the build of the page. */
export declare function offline(): Plugin;
/** Every file under a folder of built files with its SHA-256, the service worker aside. */
export declare function listed(folder: string): Readonly<Record<string, string>>;
