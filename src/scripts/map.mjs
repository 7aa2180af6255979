#!/usr/bin/env node
// npm run map -- FILE… : the command line. Paths are relative to where the user stands.
import { existsSync } from 'node:fs';
import { checkNode, ensureBuilt, ensureInstalled, BUILD_CLI, TOP } from './steps.mjs';

checkNode();
const from = process.env.INIT_CWD;
if (from && existsSync(from) && process.env.npm_lifecycle_event === 'map') process.chdir(from);
ensureInstalled();
ensureBuilt(...BUILD_CLI);
const { main } = await import(`file://${TOP}/dist/cli/cli.js`);
process.exitCode = await main(process.argv.slice(2));
