// The built page goes into the Python package and is committed; names carry no hash, so that a rebuild is the same files.
import { defineConfig } from "vite";

export default defineConfig({
  base: "/static/",
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
