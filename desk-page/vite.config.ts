// The built page goes into the Python package and is committed; names carry no hash, so that a rebuild is the same files.
import { readFileSync } from "node:fs";
import { defineConfig, type Plugin } from "vite";

const PARTS = ["preact", "@preact/signals", "@preact/signals-core", "three"];

// The licences of what is built in go along with it, and every file ends with a line end.
const tidy: Plugin = {
  name: "tidy",
  generateBundle(_, bundle) {
    const texts = PARTS.map((part) => `${part}\n\n${readFileSync(`node_modules/${part}/LICENSE`, "utf8").trim()}\n`);
    this.emitFile({ type: "asset", fileName: "licences.txt", source: texts.join("\n\n").replaceAll("\r", "") });
    for (const file of Object.values(bundle)) {
      if (file.type === "chunk" && !file.code.endsWith("\n")) file.code += "\n";
      if (file.type === "asset" && typeof file.source === "string" && !file.source.endsWith("\n")) file.source += "\n";
    }
  },
};

export default defineConfig({
  base: "/static/",
  plugins: [tidy],
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    outDir: "../src/skirtloft/desk/static",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: false,
    assetsDir: "",
    chunkSizeWarningLimit: 900,
    rolldownOptions: {
      output: {
        entryFileNames: "desk.js",
        chunkFileNames: "[name].js",
        assetFileNames: "[name][extname]",
      },
    },
  },
});
