#include <atomic>
#include <chrono>
#include <csignal>
#include <memory>

#include <fmt/format.h>

#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "store/store.hpp"

namespace oddgrist::cli {
namespace {

using store::Mode;
using store::Store;

struct StoreOptions {
  std::string deed;
  std::string store;
  std::string file;
  bool mend = false;
  OutputOptions output;
};

// An interruption must not leave half a file: the work looks at this, cleans up and ends.
std::atomic<bool> interruption{false};
extern "C" void note_interruption(int) { interruption = true; }

class InterruptionNoted {
 public:
  InterruptionNoted() {
    interruption = false;
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
      struct sigaction action {};
      action.sa_handler = note_interruption;
      ::sigaction(signal, &action, signal == SIGINT ? &before_ : nullptr);
    }
  }
  ~InterruptionNoted() {
    ::sigaction(SIGINT, &before_, nullptr);
    std::signal(SIGTERM, SIG_DFL);
    std::signal(SIGHUP, SIG_DFL);
  }
  InterruptionNoted(const InterruptionNoted&) = delete;
  InterruptionNoted& operator=(const InterruptionNoted&) = delete;

 private:
  struct sigaction before_ {};
};

// What takes longer than two seconds says how far it is, once a second, on standard error.
store::Progress progress_of(std::string_view doing, bool quiet) {
  using Clock = std::chrono::steady_clock;
  auto next = std::make_shared<Clock::time_point>(Clock::now() + std::chrono::seconds(2));
  return [doing = std::string(doing), quiet, next](std::int64_t done, std::int64_t of) {
    if (!quiet && Clock::now() >= *next) {
      *next = Clock::now() + std::chrono::seconds(1);
      complain(fmt::format("oddgrist: {}, {} % done", doing, of > 0 ? 100 * done / of : 0));
    }
    return !interruption.load();
  };
}

std::string store_path(const StoreOptions& options) {
  return options.store.empty() ? store::default_store_path() : options.store;
}

int failed(const StoreOptions& options, const files::Problems& problems) {
  const int code = fail(options.output, problems);
  return interruption ? static_cast<int>(interrupted) : code;
}

std::string mebibytes(std::int64_t bytes) {
  return fmt::format("{:.1f} MiB", static_cast<double>(bytes) / (1024.0 * 1024.0));
}

std::string check_text(const std::string& path, const store::CheckReport& report) {
  std::string text =
      fmt::format("{}: entries {}, gyles {}, {}\n", path, report.entries, report.gyles, mebibytes(report.bytes));
  for (const std::string& words : report.damage) text += "Damage: " + words + ".\n";
  for (const std::string& words : report.stale) text += "Stale: " + words + ".\n";
  if (report.sound()) text += "Every entry is as it was written, and every list says what the log says.\n";
  if (!report.damage.empty())
    text +=
        "Until it is mended it is only read. Keep a copy of the file, then restore the last backup: oddgrist store "
        "restore BACKUP\n";
  else if (!report.stale.empty())
    text += "Nothing is lost: oddgrist store check --mend makes the lists anew.\n";
  return text;
}

int run_check(const StoreOptions& options) {
  const InterruptionNoted noted;
  auto opened = Store::open(store_path(options), options.mend ? Mode::write : Mode::read);
  if (!opened) return failed(options, opened.problems());
  Store& store = opened.value();
  const auto progress = progress_of("reading the store", options.output.json);
  auto report = store.check(progress);
  if (report && options.mend && report.value().damage.empty() && !report.value().stale.empty()) {
    const auto rebuilt = store.rebuild_lists();
    if (!rebuilt) return failed(options, rebuilt.problems());
    report = store.check(progress);
  }
  if (!report) return failed(options, report.problems());
  const store::CheckReport& found = report.value();
  const int code = !found.damage.empty() ? store_damaged : found.sound() ? all_well : bad_input;
  if (!options.output.json) return emit(options.output, check_text(store.path(), found), code);
  return emit(options.output,
              files::json_text(files::Json{{"store", store.path()},
                                           {"entries", found.entries},
                                           {"gyles", found.gyles},
                                           {"bytes", found.bytes},
                                           {"sound", found.sound()},
                                           {"damage", found.damage},
                                           {"stale", found.stale}}),
              code);
}

// What the verbs that copy have to say: where it went, how many entries, and what was put aside.
int say_copied(const StoreOptions& options, std::string_view done, const std::string& to, std::int64_t entries,
               const std::string& kept) {
  if (options.output.json) {
    files::Json json{{"done", done}, {"file", to}, {"entries", entries}};
    if (!kept.empty()) json["kept"] = kept;
    return emit(options.output, files::json_text(json), all_well);
  }
  std::string text = fmt::format("{}: {} entries {}.\n", to, entries, done);
  if (!kept.empty()) text += fmt::format("What was there before is kept as {}\n", kept);
  return emit(options.output, text, all_well);
}

int run_backup(const StoreOptions& options) {
  const InterruptionNoted noted;
  const auto opened = Store::open(store_path(options), Mode::read);
  if (!opened) return failed(options, opened.problems());
  const auto entries = opened.value().backup_to(options.file, progress_of("copying", options.output.json));
  if (!entries) return failed(options, entries.problems());
  return say_copied(options, "backed up", options.file, entries.value(), "");
}

int run_restore(const StoreOptions& options) {
  const InterruptionNoted noted;
  const std::string path = store_path(options);
  const auto restored = Store::restore(options.file, path, progress_of("checking the backup", options.output.json));
  if (!restored) return failed(options, restored.problems());
  return say_copied(options, "restored", path, restored.value().entries, restored.value().kept);
}

int run_export(const StoreOptions& options) {
  const InterruptionNoted noted;
  const auto opened = Store::open(store_path(options), Mode::read);
  if (!opened) return failed(options, opened.problems());
  const auto entries = opened.value().export_to_file(options.file, progress_of("writing", options.output.json));
  if (!entries) return failed(options, entries.problems());
  return say_copied(options, "exported", options.file, entries.value(), "");
}

int run_import(const StoreOptions& options) {
  const InterruptionNoted noted;
  const std::string path = store_path(options);
  const auto entries = Store::import(options.file, path, progress_of("reading", options.output.json));
  if (!entries) return failed(options, entries.problems());
  return say_copied(options, "imported", path, entries.value(), "");
}

int run_store(const StoreOptions& options) {
  if (options.deed == "check" && !options.file.empty())
    return fail_usage(options.output.json, "store check takes no file", "Name another store with --store");
  if (options.deed != "check" && options.file.empty()) {
    return fail_usage(options.output.json, fmt::format("store {} needs a file", options.deed),
                      fmt::format("Write oddgrist store {} FILE", options.deed));
  }
  if (options.mend && options.deed != "check")
    return fail_usage(options.output.json, "--mend goes with store check", "Leave it out");
  if (options.deed == "check") return run_check(options);
  if (options.deed == "backup") return run_backup(options);
  if (options.deed == "restore") return run_restore(options);
  return options.deed == "export" ? run_export(options) : run_import(options);
}

}  // namespace

void add_store(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<StoreOptions>();
  CLI::App* verb = app.add_subcommand("store", "Check, back up, restore or export what you have kept");
  verb->add_option(
          "DEED", options->deed,
          "check: read every entry and every list. backup: copy into FILE, also while in use. restore: put the "
          "backup FILE in the store's place and keep what was there beside it. export: write every entry into "
          "FILE as text. import: make a store from such a FILE")
      ->required()
      ->type_name("")
      ->check(CLI::IsMember({"check", "backup", "restore", "export", "import"}).description(""));
  verb->add_option("FILE", options->file, "The file to write or to read; nothing is ever overwritten")->type_name("");
  verb->add_option("--store", options->store, "The store; otherwise $ODDGRIST_STORE, or the one in your data folder")
      ->type_name("FILE");
  verb->add_flag("--mend", options->mend, "With check: make lists anew that do not say what the log says");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist store backup 2026-11-25.db");
  verb->callback([options, &exit_code] { exit_code = run_store(*options); });
}

}  // namespace oddgrist::cli
