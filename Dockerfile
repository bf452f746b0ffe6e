# Builds where the compiler is, runs where it is not. No container engine has built this yet (see DEVELOPERS.md).
FROM node:22-bookworm-slim AS build
WORKDIR /app
# better-sqlite3 is compiled where no built file can be fetched.
RUN apt-get update \
 && apt-get install -y --no-install-recommends g++ make python3 \
 && rm -rf /var/lib/apt/lists/*
COPY . .
RUN npm ci && npm prune --omit=dev --ignore-scripts

FROM node:22-bookworm-slim
ENV NODE_ENV=production
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules ./node_modules
COPY --from=build /app/dist ./dist
# A new named volume takes the owner of the folder it is mounted on.
RUN mkdir /data && chown 10001:10001 /data
USER 10001:10001
EXPOSE 8080
CMD ["node", "--max-semi-space-size=32", "dist/api/main.js"]
