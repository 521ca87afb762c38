-- wrk: each request carries the token of the next of the devices in the file ODDGRIST_TOKENS, one a line; then one line of figures.
local requests, at = {}, 0

function init()
  for token in io.lines(os.getenv("ODDGRIST_TOKENS")) do
    requests[#requests + 1] = wrk.format("GET", wrk.path, { Host = wrk.headers["Host"], Cookie = "oddgrist_device=" .. token })
  end
end

function request()
  at = at % #requests + 1
  return requests[at]
end

function done(summary, latency)
  local errors = summary.errors
  io.write(string.format("figures %d %.1f %.3f %.3f %.3f %d %d\n", summary.requests, summary.requests / summary.duration * 1e6,
    latency:percentile(50) / 1000, latency:percentile(99) / 1000, latency.max / 1000,
    errors.connect + errors.read + errors.write + errors.timeout, errors.status))
end
