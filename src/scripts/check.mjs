// npm run check: types, lint, format, texts and licences, without running anything.
import { checkLicences } from './licences.mjs';
import { checkNode, ensureInstalled, run, runBin } from './steps.mjs';

/** Types of the page and tools, of the pure folders (no ambient types), and of the worklets; then lint, format, texts and licences. */
export const CHECKS = [
  ['types', 'typescript/bin/tsc', ['-p', '.']],
  ['types of the pure folders', 'typescript/bin/tsc', ['-p', 'src/tsconfig.pure.json']],
  ['types of the worklets', 'typescript/bin/tsc', ['-p', 'worklets']],
  ['lint', 'eslint/bin/eslint.js', ['.', '--max-warnings', '0']],
  ['format', 'prettier/bin/prettier.cjs', ['--check', '--log-level', 'warn', '.']],
  ['texts', () => run(process.execPath, ['src/scripts/texts.mjs', '--check'])],
  ['licences', checkLicences],
];

if (process.argv[1]?.endsWith('check.mjs')) {
  checkNode();
  ensureInstalled();
  const failed = CHECKS.filter(([name, bin, args]) => {
    process.stdout.write(`${name}\n`);
    return !(typeof bin === 'function' ? bin() : runBin(bin, args));
  });
  process.exitCode = failed.length === 0 ? 0 : 1;
}
