#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/verbs.hpp"
#include "files/round_file.hpp"
#include "files/round_json.hpp"
#include "present/round.hpp"
#include "round/codes.hpp"

namespace oddgrist::cli {
namespace {

using round::Round;

struct RoundOptions {
  std::string what;
  std::string file;
  std::optional<std::uint64_t> seed;
  OutputOptions output;
};

// A line on a terminal that counts up, from the second second on; nothing where nobody watches.
class Watch {
 public:
  explicit Watch(bool json) : shown_(!json && ::isatty(STDERR_FILENO) == 1) {}
  void operator()(std::size_t done, std::size_t all) {
    const auto now = std::chrono::steady_clock::now();
    if (!shown_ || now - began_ < std::chrono::seconds(1)) return;
    if (done < all) {
      fmt::print(stderr, "\rparcel and kit {} of {} ", done + 1, all);
    } else {
      fmt::print(stderr, "\r{:40}\r", "");
    }
    std::fflush(stderr);
  }

 private:
  bool shown_;
  std::chrono::steady_clock::time_point began_ = std::chrono::steady_clock::now();
};

round::ParcelReport look_at_parcels(const Round& round, const RoundOptions& options) {
  Watch watch(options.output.json);
  return round::check_parcels(round, [&](std::size_t done, std::size_t all) { watch(done, all); });
}

int give(const RoundOptions& options, const files::Json& json, const std::string& text, int code) {
  return emit(options.output, options.output.json ? files::json_text(json) : text, code);
}

int check_code(const Round& round, const round::ParcelReport& report, const round::BarTable& bars) {
  bool all_sound = !round::hall_obstacle(round::open_pairs(bars));
  for (const auto& parcel : report.finding) {
    for (const auto& finding : parcel) {
      if (finding && finding->verdict == round::Verdict::refused) return refused_unsafe;
      if (finding && finding->verdict != round::Verdict::sound) all_sound = false;
    }
  }
  for (std::size_t brewer = 0; round.drawn && brewer < round.drawn->size(); ++brewer) {
    if (!bars.of[brewer][(*round.drawn)[brewer]].empty()) all_sound = false;
  }
  return all_sound ? all_well : wishes_missed;
}

int run_check(const Round& round, const RoundOptions& options) {
  if (options.seed)
    return fail_usage(options.output.json, "--seed: nothing is drawn by check", "Leave it out, or write round draw");
  const round::ParcelReport report = look_at_parcels(round, options);
  const round::BarTable bars = round::bars_of(round, report);
  return give(options, files::round_check_json(round, report, bars), present::round_check_text(round, report, bars),
              check_code(round, report, bars));
}

int need_seed(const RoundOptions& options, std::string_view key) {
  return fail_usage(options.output.json,
                    fmt::format("round {} needs a seed, and neither --seed nor round.{} gives one", options.what, key),
                    "Agree on a number that nobody can choose alone, thrown with dice for instance");
}

int run_draw(const Round& round, const RoundOptions& options) {
  const auto seed = options.seed ? options.seed : round.draw_seed;
  if (!seed) return need_seed(options, "draw-seed");
  const round::BarTable bars = round::bars_of(round, look_at_parcels(round, options));
  const round::DrawResult result = round::draw_round(round, bars, *seed);
  return give(options, files::round_draw_json(round, bars, result, *seed),
              present::round_draw_text(round, bars, result, *seed), result.draw ? all_well : nothing_found);
}

int run_sheets(const Round& round, const RoundOptions& options) {
  const auto seed = options.seed ? options.seed : round.code_seed;
  if (!seed) return need_seed(options, "code-seed");
  return give(options, files::round_sheets_json(round, *seed), present::round_sheets_text(round, *seed), all_well);
}

int run_rank(const Round& round, const RoundOptions& options) {
  const auto seed = options.seed ? options.seed : round.code_seed;
  const bool coded = std::any_of(round.sheets.begin(), round.sheets.end(),
                                 [](const round::Sheet& sheet) { return !sheet.code.empty(); });
  if (coded && !seed) return need_seed(options, "code-seed");
  const round::Tally tally = round::tally_of(round, seed ? round::codes_of(round, *seed) : std::vector<std::string>{});
  const round::Ranking ranking = round::rank_beers(tally.scores, round.members.size(), judge_count(round));
  const int code = !tally.left_out.empty() ? bad_input : ranking.beers.empty() ? nothing_found : all_well;
  return give(options, files::round_rank_json(round, tally, ranking), present::round_rank_text(round, tally, ranking),
              code);
}

int run_round(const RoundOptions& options) {
  const auto read = files::read_round_file(options.file);
  if (!read) return fail(options.output, read.problems());
  if (options.what == "check") return run_check(read.value(), options);
  if (options.what == "draw") return run_draw(read.value(), options);
  if (options.what == "sheets") return run_sheets(read.value(), options);
  return run_rank(read.value(), options);
}

}  // namespace

void add_round(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<RoundOptions>();
  CLI::App* verb = app.add_subcommand(
      "round", "A swap among several brewers: check the parcels, draw them, print blind sheets, rank the beers");
  verb->add_option("WHAT", options->what,
                   "check: can each parcel become a beer; draw: who brews whose; sheets: for the judges; rank: places")
      ->required()
      ->type_name("")
      ->check(CLI::IsMember({"check", "draw", "sheets", "rank"}).description(""));
  verb->add_option("FILE", options->file, "The round, a TOML file; - reads standard input")->required()->type_name("");
  verb->add_option("--seed", options->seed,
                   "For draw, in place of round.draw-seed; for sheets and rank, in place of round.code-seed")
      ->type_name("N")
      ->check(whole_number());
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist round draw examples/rounds/saltmarsh-autumn.toml --seed 412365");
  verb->callback([options, &exit_code] { exit_code = run_round(*options); });
}

}  // namespace oddgrist::cli
