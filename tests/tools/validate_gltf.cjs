// Prints the format validator's report of one file as JSON: node validate_gltf.cjs FILE
const { readFileSync } = require("fs");
const validator = require("gltf-validator");

validator
  .validateBytes(new Uint8Array(readFileSync(process.argv[2])))
  .then((report) => process.stdout.write(JSON.stringify(report)))
  .catch((error) => {
    process.stderr.write(`${error}\n`);
    process.exitCode = 1;
  });
