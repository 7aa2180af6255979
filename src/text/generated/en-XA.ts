
    // Do not modify this file by hand!
    // Re-generate this file by running lit-localize

    
    

    /* eslint-disable no-irregular-whitespace */
    /* eslint-disable @typescript-eslint/no-explicit-any */

    export const templates = {
      's2e77536cb8919f72': `Ţĥîš ƀŕôŵšéŕ ĝîṽéš ñô ɱîçŕôþĥôñé ĥéŕé. Ţàþ àļôñĝ îñšţéàđ.`,
's5d28d440ceb4c00f': `Ñô šôûñđ šţàŕţš ĥéŕé. Þļûĝ îñ ĥéàđþĥôñéš ôŕ à ļôûđšþéàķéŕ, çļôšé ôţĥéŕ þŕôĝŕàɱš ţĥàţ þļàý, àñđ ţŕý àĝàîñ.`,
's9c430d62e280daf1': `Ţĥé ɱîçŕôþĥôñé ŵàš ñôţ àļļôŵéđ. Àļļôŵ îţ ƒôŕ ţĥîš þàĝé îñ ţĥé ƀŕôŵšéŕ, ôŕ ţàþ àļôñĝ.`,
'sc5fb2f3b8bed8451': `Ñô ɱîçŕôþĥôñé ŵàš ƒôûñđ. Þļûĝ ôñé îñ, ôŕ ţàþ àļôñĝ.`,
    };
  