
    // Do not modify this file by hand!
    // Re-generate this file by running lit-localize

    
    

    /* eslint-disable no-irregular-whitespace */
    /* eslint-disable @typescript-eslint/no-explicit-any */

    export const templates = {
      's2e77536cb8919f72': `Ţĥîš ƀŕôŵšéŕ ĝîṽéš ñô ɱîçŕôþĥôñé ĥéŕé. Ţàþ àļôñĝ îñšţéàđ.`,
's9c430d62e280daf1': `Ţĥé ɱîçŕôþĥôñé ŵàš ñôţ àļļôŵéđ. Àļļôŵ îţ ƒôŕ ţĥîš þàĝé îñ ţĥé ƀŕôŵšéŕ, ôŕ ţàþ àļôñĝ.`,
'sc5fb2f3b8bed8451': `Ñô ɱîçŕôþĥôñé ŵàš ƒôûñđ. Þļûĝ ôñé îñ, ôŕ ţàþ àļôñĝ.`,
    };
  