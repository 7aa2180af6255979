// npm run bench -- WHAT … : measurements, apart from the tests.
import { checkNode, ensureBuilt, ensureInstalled, BUILD_BENCH, BUILD_CLI, BUILD_WEB, TOP } from './steps.mjs';

checkNode();
ensureInstalled();
ensureBuilt(...BUILD_WEB);
ensureBuilt(...BUILD_CLI);
ensureBuilt(...BUILD_BENCH);
process.env.INIT_CWD ??= process.cwd();
process.chdir(TOP);
const { main } = await import(`file://${TOP}/dist/bench/main.js`);
process.exitCode = await main(process.argv.slice(2));
