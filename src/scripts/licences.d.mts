interface Lock {
  readonly packages: Readonly<
    Record<string, { version?: string; license?: string; integrity?: string; dev?: boolean }>
  >;
}
interface Manifest {
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly devDependencies?: Readonly<Record<string, string>>;
}
/** What is wrong with pinning and licences, in sentences. */
export declare function licenceProblems(manifest: Manifest, lock: Lock, readme: string): string[];
/** Prints what is wrong with this folder's; true when nothing is. */
export declare function checkLicences(): boolean;
