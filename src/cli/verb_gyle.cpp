#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/learned.hpp"
#include "cli/patience.hpp"
#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/brief_file.hpp"
#include "files/changed_brief.hpp"
#include "files/event_json.hpp"
#include "files/gyle_json.hpp"
#include "files/marks_file.hpp"
#include "files/own_larder.hpp"
#include "files/text_file.hpp"
#include "gyle/lesson.hpp"
#include "gyle/replan.hpp"
#include "present/gyle.hpp"
#include "quantity/parse.hpp"
#include "store/open_gyle.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;
using store::Mode;
using store::Store;

struct GyleOptions {
  std::string deed, gyle;
  std::vector<std::string> words;
  std::string stage, temperature, give_or_take, minutes, at, mends, store, brief, marks_file;
  gyle::Marks marks;  // what stands in marks_file
  int take = 0;
  bool learned = false;
  OutputOptions output;
};

// What the command line itself has wrong.
struct BadWords {
  std::string what, remedy;
};

const std::string& word(const GyleOptions& options, std::size_t place, std::string_view name) {
  if (place < options.words.size()) return options.words[place];
  throw BadWords{fmt::format("gyle {}: {} is missing", options.deed, name),
                 "oddgrist gyle --help shows what each deed takes"};
}

template <class Kind>
double value_of(std::string_view name, const std::string& text, Unit<Kind> unit) {
  const auto parsed = parse<Kind>(text);
  if (!parsed)
    throw BadWords{fmt::format("{} \"{}\": {}", name, text, parsed.error().text()), "Write a number and its unit"};
  return parsed.value().in(unit);
}

double plain_number(std::string_view name, const std::string& text) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
    throw BadWords{fmt::format("{} \"{}\" is not a number", name, text),
                   "Write it with digits and a point, such as 5.4"};
  return value;
}

gyle::Stage stage_named(const std::string& text) {
  const auto stage = files::stage_of(text);
  if (stage) return *stage;
  throw BadWords{fmt::format("there is no stage \"{}\"", text),
                 "Write planned, mash, before-boil, boil, after-boil, fermenter or package"};
}

double sight_value(gyle::Sight sight, const std::string& text) {
  switch (sight) {
    case gyle::Sight::volume: return value_of("volume", text, litre);
    case gyle::Sight::gravity: return value_of("gravity", text, specific_gravity);
    case gyle::Sight::temperature: return value_of("temperature", text, celsius);
    case gyle::Sight::pressure: return value_of("pressure", text, bar);
    case gyle::Sight::mass: return value_of("mass", text, kilogram);
    case gyle::Sight::refraction: return plain_number("refraction in °Bx", text);
    case gyle::Sight::ph: return plain_number("pH", text);
    case gyle::Sight::taste: return plain_number("taste", text);
  }
  return 0.0;
}

gyle::Instant moment_of(const GyleOptions& options) {
  if (options.at.empty()) return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
  const auto at = files::instant_of(options.at);
  if (!at) throw BadWords{fmt::format("--at \"{}\" is no moment", options.at), "Write it as 2026-11-25T18:30Z"};
  return *at;
}

gyle::Stage stage_of(const GyleOptions& options, const gyle::State& state) {
  return options.stage.empty() ? state.stage : stage_named(options.stage);
}

// The amount of the recipe that is meant: its own place, or the kettle at --minutes.
compose::Recipe::Amount amount_of(const GyleOptions& options, const gyle::State& state) {
  using Into = compose::Recipe::Into;
  compose::Recipe::Amount amount{word(options, 0, "the ingredient"), Into::kettle, 0.0,
                                 value_of("amount", word(options, 1, "the amount"), kilogram)};
  if (!options.minutes.empty()) {
    amount.minutes_before_boil_end = plain_number("--minutes", options.minutes);
    if (amount.minutes_before_boil_end <= 0.0) amount.into = Into::flame_out;
    return amount;
  }
  for (const auto& planned : state.went.amounts) {
    if (planned.what != amount.what) continue;
    amount.into = planned.into;
    amount.minutes_before_boil_end = planned.minutes_before_boil_end;
    return amount;
  }
  const gyle::Stage stage = stage_of(options, state);
  if (stage <= gyle::Stage::mash) amount.into = Into::grist;
  if (stage == gyle::Stage::before_boil) amount.minutes_before_boil_end = state.boil_minutes;
  if (stage == gyle::Stage::after_boil) amount.into = Into::flame_out;
  if (stage >= gyle::Stage::fermenter) amount.into = Into::fermenter;
  return amount;
}

// The volume that goes with a height.
double dipped_l(const GyleOptions& options) {
  const double height = plain_number("dip", word(options, 1, "the height"));
  if (const auto volume = gyle::litres_at(options.marks, height)) return *volume;
  throw BadWords{fmt::format("dip {}: the marks in {} go from {} to {}", height, options.marks_file,
                             options.marks.front().first, options.marks.back().first),
                 "Measure another mark there, or read the volume otherwise"};
}

gyle::What what_of(const GyleOptions& options, const gyle::State& state) {
  const std::string& deed = options.deed;
  if (deed == "reach") return gyle::Reached{stage_named(word(options, 0, "the stage"))};
  if (deed == "note") return gyle::Note{word(options, 0, "the text")};
  if (deed == "strike") return gyle::Struck{options.words.size() > 1 ? options.words[1] : std::string()};
  if (deed == "missed") return gyle::Missed{amount_of(options, state)};
  if (deed == "added") return gyle::Added{amount_of(options, state)};
  if (deed == "lost") {
    gyle::Lost lost{stage_of(options, state), value_of("volume", word(options, 0, "the volume"), litre), {}};
    if (!options.give_or_take.empty()) lost.deviation_l = value_of("--give-or-take", options.give_or_take, litre);
    return lost;
  }
  if (deed == "boil" || deed == "prime") {
    gyle::Changed changed;
    if (deed == "boil")
      changed.boil_minutes = value_of("boil", word(options, 0, "how long the boil is"), minute);
    else
      changed.priming_sucrose_g = value_of("sugar", word(options, 0, "how much sugar"), gram);
    return changed;
  }
  const bool dip = word(options, 0, "what was read") == "dip";
  const auto sight = dip ? gyle::Sight::volume : files::sight_of(options.words[0]);
  if (!sight) {
    throw BadWords{fmt::format("there is no reading \"{}\"", options.words[0]),
                   "Write volume, dip, gravity, refraction, temperature, ph, pressure, mass or taste"};
  }
  gyle::Reading reading;
  reading.sight = *sight;
  reading.stage = stage_of(options, state);
  reading.value = dip ? dipped_l(options) : sight_value(*sight, word(options, 1, "the value"));
  if (*sight == gyle::Sight::mass) reading.of = "wort";
  if (!options.give_or_take.empty()) {
    const bool plain = *sight == gyle::Sight::gravity || *sight == gyle::Sight::temperature;
    reading.deviation =
        plain ? plain_number("--give-or-take", options.give_or_take) : sight_value(*sight, options.give_or_take);
  }
  if (!options.temperature.empty()) reading.at_celsius = value_of("--temperature", options.temperature, celsius);
  return reading;
}

std::string path_of(const GyleOptions& options) {
  return options.store.empty() ? store::default_store_path() : options.store;
}

int say_written(const GyleOptions& options, const std::vector<gyle::Entry>& entries, const store::Appended& appended) {
  Json keys = Json::array(), short_of = Json::array();
  std::string text;
  for (const gyle::Entry& entry : entries) {
    keys.push_back(entry.key);
    text += fmt::format("{}: {} written as {}\n", options.gyle, files::event_kind(entry.what), entry.key);
  }
  for (const store::Shortfall& shortfall : appended.shortfalls) {
    short_of.push_back(shortfall.ingredient);
    if (shortfall.ever_in)
      text += fmt::format("Of {} more was used than was in stock; count it when you are next at the shelf.\n",
                          shortfall.ingredient);
  }
  if (!options.output.json) return emit(options.output, text, all_well);
  return emit(
      options.output,
      files::json_text(Json{{"gyle", options.gyle}, {"keys", std::move(keys)}, {"short_of", std::move(short_of)}}),
      all_well);
}

int append(const GyleOptions& options, Store& store, std::vector<gyle::What> whats) {
  std::vector<gyle::Entry> entries;
  entries.reserve(whats.size());
  for (gyle::What& what : whats)
    entries.push_back({store::fresh_key(), moment_of(options), options.mends, std::move(what)});
  const auto appended = store.append_to_gyle(options.gyle, entries);
  if (!appended) return fail(options.output, appended.problems());
  return say_written(options, entries, appended.value());
}

int start(const GyleOptions& options) {
  const std::string& path = word(options, 0, "the brief");
  const auto text = files::read_text_file(path);
  if (!text) return fail(options.output, text.problems());
  const auto brief = files::read_brief_text(text.value(), path);
  if (!brief) return fail(options.output, brief.problems());
  compose::Brief reckoned = brief.value();  // the log keeps the brief as it is written
  const auto learned = put_learned({options.learned, options.store}, reckoned);
  if (!learned) return fail(options.output, learned.problems());
  const compose::Answer answer = [&] {
    const Patience patience("composing", options.output.json);
    return compose::compose(reckoned);
  }();
  if (answer.proposals.empty()) {
    complain("oddgrist: there is no recipe for this brief; oddgrist compose says why");
    return answer.outcome == compose::Outcome::refused ? refused_unsafe : wishes_missed;
  }
  auto opened = Store::open(path_of(options), Mode::create);
  if (!opened) return fail(options.output, opened.problems());
  const auto& kit = brief.value().kit;
  return append(options, opened.value(),
                {gyle::Started{brief.value().name, files::with_own_entries(text.value()),
                               answer.proposals.front().recipe, kit.name, options.learned}});
}

int list(const GyleOptions& options) {
  const auto opened = Store::open(path_of(options), Mode::read);
  if (!opened) return fail(options.output, opened.problems());
  warn_of_damage(opened.value().path());
  const auto page = opened.value().gyles({});
  if (!page) return fail(options.output, page.problems());
  Json gyles = Json::array();
  std::string text;
  for (const store::GyleLine& line : page.value().lines) {
    gyles.push_back(Json{
        {"gyle", line.id}, {"name", line.name}, {"stage", files::stage_word(line.stage)}, {"entries", line.entries}});
    text += fmt::format("{}: {}, {}\n", line.id, line.name, present::stage_words(line.stage));
  }
  const int code = page.value().lines.empty() ? nothing_found : all_well;
  if (text.empty()) text = "No gyle yet: oddgrist gyle start NAME BRIEF begins one.\n";
  return emit(options.output, options.output.json ? files::json_text(Json{{"gyles", std::move(gyles)}}) : text, code);
}

int log(const GyleOptions& options, const store::OpenGyle& gyle) {
  Json entries = Json::array();
  std::string text;
  for (const gyle::Entry& entry : gyle.entries) {
    entries.push_back(files::entry_json(entry));
    text += fmt::format("{}  {}  {}", files::instant_text(entry.at), entry.key, files::event_kind(entry.what));
    if (const auto* reading = std::get_if<gyle::Reading>(&entry.what))
      text += fmt::format(": {}, {}", present::taken_words(*reading), present::stage_words(reading->stage));
    if (!entry.mends.empty()) text += fmt::format(", in place of {}", entry.mends);
    text += '\n';
  }
  return emit(options.output, options.output.json ? files::json_text(Json{{"entries", std::move(entries)}}) : text,
              all_well);
}

// Why each change was made, as comments at the head of the brief.
std::string head_of(const std::string& gyle, const gyle::NextTime& next) {
  std::string head = fmt::format("# After {}:\n", gyle);
  for (const gyle::Lesson& lesson : next.lessons) {
    for (const std::string& line : present::wrapped(fmt::format("{}: {}.", lesson.what, lesson.why), 76))
      head += fmt::format("# {}\n", line);
  }
  return next.lessons.empty() ? std::string() : head + '\n';
}

int write_next_brief(const GyleOptions& options, const store::OpenGyle& gyle, const gyle::NextTime& next) {
  std::error_code ignored;
  if (std::filesystem::exists(std::filesystem::symlink_status(options.brief, ignored))) {
    files::Problem problem;
    problem.place.file = options.brief;
    problem.what = "there is a file of this name";
    problem.remedy = "Name another: nothing is ever overwritten";
    problem.trouble = files::Trouble::cannot_write;
    return fail(options.output, files::Problems{problem});
  }
  const auto held = gyle::holding(gyle.entries, nullptr);
  const auto text = files::changed_brief_text(gyle::started_of(held)->brief_text, gyle.brief, next.brief);
  if (!text) return fail(options.output, text.problems());
  if (const auto problem = files::write_text_file(options.brief, head_of(options.gyle, next) + text.value()))
    return fail(options.output, files::Problems{*problem});
  return all_well;
}

int after(const GyleOptions& options, const store::OpenGyle& gyle) {
  const gyle::NextTime next = gyle::next_time(gyle.brief, gyle::standing_of(gyle.brief, gyle.state));
  if (!options.brief.empty()) {
    const int code = write_next_brief(options, gyle, next);
    if (code != all_well) return code;
  }
  if (!options.output.json) {
    std::string text = present::next_time_text(next);
    if (!options.brief.empty()) text += fmt::format("The brief for next time is in {}\n", options.brief);
    return emit(options.output, text, all_well);
  }
  Json json = files::next_time_json(next);
  if (!options.brief.empty()) json["brief_file"] = options.brief;
  return emit(options.output, files::json_text(json), all_well);
}

int look(const GyleOptions& options, const store::OpenGyle& gyle, Store& store) {
  if (options.deed == "log") return log(options, gyle);
  const bool json = options.output.json;
  if (options.deed == "replan") {
    const gyle::Replan replan = gyle::replan(gyle.brief, gyle.state, moment_of(options));
    if (options.take == 0) {
      return emit(options.output,
                  json ? files::json_text(files::replan_json(replan)) : present::replan_text(gyle.brief, replan),
                  all_well);
    }
    if (options.take > static_cast<int>(replan.moves.size()))
      throw BadWords{fmt::format("--take {}: there are only {}", options.take, replan.moves.size()),
                     "Look at them first, without --take"};
    const auto& move = replan.moves[static_cast<std::size_t>(options.take) - 1];
    return move.entries.empty()
               ? emit(options.output,
                      json ? files::json_text(
                                 Json{{"gyle", options.gyle}, {"keys", Json::array()}, {"short_of", Json::array()}})
                           : "Nothing to write down.\n",
                      all_well)
               : append(options, store, move.entries);
  }
  if (options.deed == "after") return after(options, gyle);
  const gyle::Standing standing = gyle::standing_of(gyle.brief, gyle.state);
  return emit(options.output,
              json ? files::json_text(files::standing_json(standing)) : present::standing_text(gyle.brief, standing),
              all_well);
}

// Whether there are marks where there must be, and none elsewhere.
std::optional<files::Problems> read_marks(GyleOptions& options) {
  const bool dip = options.deed == "reading" && !options.words.empty() && options.words[0] == "dip";
  if (dip && options.marks_file.empty())
    throw BadWords{"a dip means nothing without the marks of the vessel", "Give them with --marks FILE"};
  if (!dip && !options.marks_file.empty())
    throw BadWords{"--marks goes with gyle reading GYLE dip HEIGHT", "Leave it out"};
  if (!dip) return std::nullopt;
  auto marks = files::read_marks_file(options.marks_file);
  if (!marks) return marks.problems();
  options.marks = std::move(marks.value());
  return std::nullopt;
}

int run_gyle(GyleOptions options) {
  try {
    if (const auto problems = read_marks(options)) return fail(options.output, *problems);
    if (!options.brief.empty() && options.deed != "after")
      throw BadWords{"--brief goes with gyle after", "Leave it out; gyle start takes its brief without it"};
    if (options.learned && options.deed != "start" && options.deed != "now" && options.deed != "replan")
      throw BadWords{"--learned goes with gyle start, now and replan", "Leave it out"};
    if (options.deed == "list") return list(options);
    if (options.gyle.empty())
      throw BadWords{fmt::format("gyle {}: which gyle?", options.deed), "oddgrist gyle list shows them"};
    if (options.deed == "start") return start(options);
    const bool looks = options.deed == "now" || options.deed == "log" || options.deed == "after" ||
                       (options.deed == "replan" && options.take == 0);
    auto opened = Store::open(path_of(options), looks ? Mode::read : Mode::write);
    if (!opened) return fail(options.output, opened.problems());
    Store& store = opened.value();
    if (looks) warn_of_damage(store.path());
    auto gyle = store::open_gyle(store, options.gyle);
    if (!gyle) return fail(options.output, gyle.problems());
    const bool reckons = options.deed == "now" || options.deed == "replan";
    const bool with_learned = options.learned || (reckons && gyle.value().state.learned);
    const auto learned = put_learned({with_learned, options.store}, gyle.value().brief, options.gyle);
    if (!learned) return fail(options.output, learned.problems());
    if (looks || options.deed == "replan") return look(options, gyle.value(), store);
    if (options.deed == "strike") options.mends = word(options, 0, "the key of the entry");
    return append(options, store, {what_of(options, gyle.value().state)});
  } catch (const BadWords& bad) {
    return fail_usage(options.output.json, bad.what, bad.remedy);
  }
}

}  // namespace

void add_gyle(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<GyleOptions>();
  CLI::App* verb = app.add_subcommand("gyle", "Keep the log of a brew, see where it is, and what can still be done");
  verb->add_option(
          "DEED", options->deed,
          "start GYLE BRIEF. list. reach GYLE STAGE. reading GYLE SIGHT VALUE. missed or added GYLE INGREDIENT AMOUNT. "
          "lost GYLE VOLUME. boil GYLE TIME. prime GYLE SUGAR. note GYLE TEXT. strike GYLE KEY. log, now, replan or "
          "after GYLE")
      ->required()
      ->type_name("")
      ->check(CLI::IsMember({"start", "list", "reach", "reading", "missed", "added", "lost", "boil", "prime", "note",
                             "strike", "log", "now", "replan", "after"})
                  .description(""));
  verb->add_option("GYLE", options->gyle, "What you call the brew")->type_name("");
  verb->add_option("WORDS", options->words, "What the deed takes")->type_name("");
  verb->add_option("--stage", options->stage, "Where it was read, added or lost; otherwise where the gyle is")
      ->type_name("STAGE");
  verb->add_option("--temperature", options->temperature, "Of what was read: \"62 °C\"")->type_name("T");
  verb->add_option("--give-or-take", options->give_or_take, "One standard deviation of the reading or loss")
      ->type_name("VALUE");
  verb->add_option("--marks", options->marks_file,
                   "With reading GYLE dip HEIGHT: how much the vessel holds at which height")
      ->type_name("FILE");
  verb->add_option("--minutes", options->minutes,
                   "With missed and added: into the kettle, minutes before the end of the boil")
      ->type_name("N");
  verb->add_option("--mends", options->mends, "Key of the entry this one takes the place of")->type_name("KEY");
  verb->add_option("--at", options->at, "When it happened, 2026-11-25T18:30Z; otherwise now")->type_name("TIME");
  verb->add_option("--take", options->take, "With replan: write this move into the log")
      ->type_name("N")
      ->check(CLI::PositiveNumber.description(""));
  verb->add_flag("--learned", options->learned,
                 "With start, now and replan: reckon with what earlier gyles have taught about the kit");
  verb->add_option("--brief", options->brief, "With after: write the brief for next time into this new file")
      ->type_name("FILE");
  verb->add_option("--store", options->store, "The store; otherwise $ODDGRIST_STORE, or the one in your data folder")
      ->type_name("FILE");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist gyle reading harvest gravity 1.046 --stage before-boil --temperature \"25 °C\"");
  verb->callback([options, &exit_code] { exit_code = run_gyle(*options); });
}

}  // namespace oddgrist::cli
