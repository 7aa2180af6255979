import fc from 'fast-check';

// The same random cases in every ordinary run, so that a change is what turns a test red; the long run draws new ones
// and prints the seed of what it finds.
if (!process.env.BARWRIGHT_LONG) fc.configureGlobal({ seed: 20261124 });
