// npm run golden -- [--renew] [--hear] [ID…]: the golden corpus, compared, renewed or heard anew.
import { checkNode, ensureBuilt, ensureInstalled, BUILD_GOLDEN, TOP } from './steps.mjs';

checkNode();
ensureInstalled();
ensureBuilt(...BUILD_GOLDEN);
process.chdir(TOP);
const { main } = await import(`file://${TOP}/dist/golden/main.js`);
process.exitCode = await main(process.argv.slice(2));
