import { expect, it } from 'vitest';
import { checkLicences, licenceProblems } from '../../src/scripts/licences.mjs';

const entry = { version: '1.0.0', license: 'MIT', integrity: 'sha512-x' };
const lock = (more: object = {}) => ({ packages: { '': {}, 'node_modules/plain': { ...entry, ...more } } });

it('the packages are pinned, their licences go with ours, and the README lists them', () => {
  expect(checkLicences()).toBe(true);
});

it('what is not is named', () => {
  const readme = '| plain | MIT | for a test |\n';
  const manifest = { dependencies: { plain: '1.0.0' } };
  expect(licenceProblems(manifest, lock(), readme)).toEqual([]);
  expect(licenceProblems({ dependencies: { plain: '^1.0.0' } }, lock(), readme)).toEqual([
    expect.stringMatching(/"\^1.0.0" is no exact version/),
  ]);
  expect(licenceProblems(manifest, lock({ license: 'GPL-2.0-only' }), readme)).toEqual([
    expect.stringMatching(/GPL-2.0-only\) is not known to go/),
    expect.stringMatching(/README says MIT, the package GPL-2.0-only/),
  ]);
  expect(licenceProblems(manifest, lock({ integrity: undefined }), readme)).toEqual([
    expect.stringMatching(/no checksum/),
  ]);
  expect(licenceProblems(manifest, lock(), '')).toEqual([expect.stringMatching(/missing in the README/)]);
  expect(licenceProblems(manifest, lock(), `${readme}| gone | MIT | x |\n`)).toEqual([
    expect.stringMatching(/gone is in the README's list but no longer/),
  ]);
});
