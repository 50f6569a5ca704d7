// What makes the pages better with script. Every page works without it.
"use strict";
