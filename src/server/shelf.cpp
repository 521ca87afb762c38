#include "server/shelf.hpp"

#include <set>

#include "server/problem_details.hpp"

namespace oddgrist::server {
namespace {

constexpr std::size_t most_resting = 4;

Reply no_store() { return problem_reply(503, "no-store", "this server keeps nothing", "Start it with --store FILE"); }

files::Problem busy(const std::string& path) {
  return files::Problem{files::Place{path, 0, 0}, "", "others are writing into the store",
                        "Try again in a few seconds; nothing of this was written", files::Trouble::busy};
}

Reply cannot_open(files::Problems problems) {
  for (files::Problem& problem : problems) {
    // A store that is not what the server was started with is no fault of the request.
    if (problem.trouble == files::Trouble::bad_content || problem.trouble == files::Trouble::missing)
      problem.trouble = files::Trouble::cannot_open;
    problem.what = "the store cannot be opened: " + problem.what;
  }
  return problems_reply("cannot-open", problems, Lines::hide);
}

}  // namespace

files::Problems Shelf::open_writer() {
  if (writer_) return {};
  auto opened = store::Store::open(path_, store::Mode::create, patience);
  if (!opened) return opened.problems();
  writer_.emplace(std::move(opened.value()));
  tell(*writer_);
  return {};
}

Reply Shelf::write(const std::function<Reply(store::Store&)>& answer) {
  if (path_.empty()) return no_store();
  asked_for_ = true;
  const std::unique_lock one_at_a_time(writing_, patience);
  if (!one_at_a_time) return problems_reply("busy", {busy(path_)}, Lines::hide);
  if (auto problems = open_writer(); !problems.empty()) return cannot_open(std::move(problems));
  Reply reply = answer(*writer_);
  tell(*writer_);
  return reply;
}

store::Result<store::Store> Shelf::take_reader() {
  {
    const std::lock_guard lock(resting_);
    if (!readers_.empty()) {
      store::Store reader = std::move(readers_.back());
      readers_.pop_back();
      return reader;
    }
  }
  auto opened = store::Store::open(path_, store::Mode::read, patience);
  if (opened) return opened;
  // Not there yet, or of an older version: what opens it for writing makes it ready.
  const files::Trouble trouble = files::trouble_of(opened.problems());
  if (trouble != files::Trouble::missing && trouble != files::Trouble::cannot_open &&
      trouble != files::Trouble::damaged)
    return opened;
  const std::unique_lock one_at_a_time(writing_, patience);
  if (!one_at_a_time) return busy(path_);
  if (auto problems = open_writer(); !problems.empty()) return problems;
  return store::Store::open(path_, store::Mode::read, patience);
}

void Shelf::give_back(store::Store reader) {
  const std::lock_guard lock(resting_);
  if (readers_.size() < most_resting) readers_.push_back(std::move(reader));
}

Reply Shelf::read(const std::function<Reply(const store::Store&)>& answer) {
  if (path_.empty()) return no_store();
  asked_for_ = true;
  auto reader = take_reader();
  if (!reader) return cannot_open(reader.problems());
  Reply reply = answer(reader.value());
  if (reply.status < 500) tell(reader.value());
  give_back(std::move(reader.value()));
  return reply;
}

void Shelf::look() {
  if (!asked_for_ || path_.empty()) return;
  auto reader = take_reader();
  if (!reader) return;
  tell(reader.value());
  give_back(std::move(reader.value()));
}

std::optional<std::string> Shelf::damage() const { return keeps() ? store::noted_damage(path_) : std::nullopt; }

void Shelf::tell(const store::Store& store) {
  const std::lock_guard one_at_a_time(telling_);
  const auto last = store.last_id();
  if (!last) return;
  if (!told_) told_ = last.value();
  if (last.value() <= *told_) return;
  std::set<std::string> streams;
  for (;;) {
    const auto written = store.changes_since(*told_);
    if (!written || written.value().empty()) break;
    for (const store::Logged& entry : written.value()) streams.insert(entry.line.stream);
    told_ = written.value().back().id;
  }
  for (const std::string& stream : streams) {
    const std::size_t slash = stream.find('/');
    changes_.publish(stream.substr(0, slash), slash == std::string::npos ? "" : stream.substr(slash + 1));
  }
}

}  // namespace oddgrist::server
