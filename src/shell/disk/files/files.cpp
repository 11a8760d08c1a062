#include "shell/disk/files/files.hpp"

#include <fcntl.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "shell/store/store.hpp"

namespace penstock::store {
namespace {

int move_file(const char* from, const char* to, bool replace) {
  if (replace) return ::rename(from, to);
  // A hard link fails when the name is taken, on every file system that has links: no window
  // between looking and moving.
  if (::link(from, to) != 0) return -1;
  return ::unlink(from);
}

Error system_error(int number, const std::filesystem::path& path) {
  std::string_view code = codes::io_error;
  if (number == ENOSPC || number == EDQUOT) code = codes::disk_full;
  if (number == EROFS) code = codes::read_only;
  if (number == EACCES || number == EPERM || number == ENOENT || number == ENOTDIR ||
      number == EISDIR) {
    code = codes::cannot_open;
  }
  return {Kind::unavailable,
          std::string(code),
          {arg_text("file", path.string()), arg_count("detail", number)},
          {}};
}

/// A descriptor that is closed with its scope.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  bool valid() const { return number_ >= 0; }
  int number() const { return number_; }

 private:
  int number_;
};

Result<void> sync(const std::filesystem::path& path, int flags) {
  const Descriptor file(::open(path.c_str(), flags | O_CLOEXEC));
  if (!file.valid() || file_calls().sync(file.number()) != 0) return system_error(errno, path);
  return {};
}

/// SQLite's file format: its name at the start, the application id in four bytes from the 68th, the
/// highest first. An empty file is about to become a store.
bool is_ours(int file) {
  constexpr std::string_view name("SQLite format 3\0", 16);
  constexpr std::size_t id_at = 68;
  std::array<char, id_at + 4> head{};
  const auto read = ::pread(file, head.data(), head.size(), 0);
  if (read == 0) return true;
  if (read != static_cast<ssize_t>(head.size()) ||
      !std::string_view(head.data(), 16).starts_with(name))
    return false;
  std::int64_t id = 0;
  for (std::size_t i = id_at; i < head.size(); ++i)
    id = id * 256 + static_cast<unsigned char>(head[i]);
  return id == application_id;
}

constexpr std::string_view part_word = ".part-", part_form = ".part-XXXXXX";

bool is_part(std::string_view name) {
  return name.size() > part_form.size() &&
         name.substr(name.size() - part_form.size()).starts_with(part_word);
}

/// What nobody works on any more: whoever does holds its lock.
void remove_left_behind(const std::filesystem::path& part) {
  const Descriptor file(::open(part.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
  struct stat there{};
  const bool is_file =
      file.valid() && ::fstat(file.number(), &there) == 0 && S_ISREG(there.st_mode);
  if (!is_file || !is_ours(file.number()) || ::flock(file.number(), LOCK_EX | LOCK_NB) != 0) return;
  std::error_code ignored;
  std::filesystem::remove(part, ignored);
  remove_companions(part);
}

void remove_left_behind_beside(const std::filesystem::path& path) {
  const auto folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
  std::error_code ignored;
  std::vector<std::filesystem::path> parts;
  for (std::filesystem::directory_iterator one(folder, ignored), end; one != end;
       one.increment(ignored)) {
    if (is_part(one->path().filename().string())) parts.push_back(one->path());
  }
  for (const auto& part : parts) remove_left_behind(part);
}

/// "clinic.penstock.replaced-1", "clinic.penstock.part-Hx3k9Q".
bool is_name_of_ours(std::string_view name, std::string_view of) {
  if (!name.starts_with(of)) return false;
  return name.substr(of.size()).starts_with(kept_word) || is_part(name);
}

constexpr mode_t of_others = S_IRWXG | S_IRWXO;

/// A plain file that others may do something with, looked at without opening it: a pipe would wait,
/// a device might act. The owner is of one who may change it.
bool is_open_to_others(const std::filesystem::path& path) {
  struct stat there{};
  return ::lstat(path.c_str(), &there) == 0 && S_ISREG(there.st_mode) &&
         (there.st_mode & of_others) != 0;
}

/// Nothing: it is not ours to change.
std::optional<bool> close_to_others(const std::filesystem::path& path, bool is_log) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
  struct stat there{};
  if (!file.valid() || ::fstat(file.number(), &there) != 0) return std::nullopt;
  if (!S_ISREG(there.st_mode) || !(is_log || is_ours(file.number()))) return std::nullopt;
  return ::fchmod(file.number(), S_IRUSR | S_IWUSR) == 0;
}

}  // namespace

bool has_two_names(const std::filesystem::path& path) {
  struct stat file{};
  if (::stat(path.c_str(), &file) != 0 || !S_ISREG(file.st_mode) || file.st_nlink < 2) return false;
  std::error_code ignored;
  const auto real = std::filesystem::canonical(path, ignored);
  auto names = file.st_nlink;
  for (std::filesystem::directory_iterator one(real.parent_path(), ignored), end; one != end;
       one.increment(ignored)) {
    struct stat other{};
    const bool is_the_same = ::lstat(one->path().c_str(), &other) == 0 &&
                             other.st_ino == file.st_ino && other.st_dev == file.st_dev;
    if (is_the_same && is_name_of_ours(one->path().filename().string(), real.filename().string()))
      --names;
  }
  return names > 1;
}

Privacy make_private(const std::filesystem::path& path) {
  if (!is_open_to_others(path)) return Privacy::as_it_was;
  const auto closed = close_to_others(path, false);
  if (!closed) return Privacy::as_it_was;
  for (const auto* part : {"-wal", "-shm"}) {
    const std::filesystem::path log = path.string() + part;
    if (is_open_to_others(log)) static_cast<void>(close_to_others(log, true));
  }
  return *closed ? Privacy::made_private : Privacy::open_to_others;
}

FileCalls& file_calls() {
  static FileCalls calls{.sync = ::fsync, .move = move_file};
  return calls;
}

Result<void> create_private(const std::filesystem::path& path) {
  {
    const Descriptor file(::open(path.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0600));
    if (!file.valid() && errno == EEXIST) return {};
    if (!file.valid()) return system_error(errno, path);
  }
  return sync_folder_of(path);
}

Result<std::filesystem::path> create_beside(const std::filesystem::path& path) {
  remove_left_behind_beside(path);
  std::string name = path.string() + std::string(part_form);
  const Descriptor file(::mkostemp(name.data(), O_CLOEXEC));
  if (!file.valid()) return system_error(errno, path);
  return std::filesystem::path(name);
}

Result<void> sync_file(const std::filesystem::path& path) { return sync(path, O_RDONLY); }

Result<void> sync_folder_of(const std::filesystem::path& path) {
  const auto folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
  return sync(folder, O_RDONLY | O_DIRECTORY);
}

Result<void> move_into_place(const std::filesystem::path& from, const std::filesystem::path& to,
                             IfThere if_there) {
  if (file_calls().move(from.c_str(), to.c_str(), if_there == IfThere::replace) != 0) {
    if (errno == EEXIST) {
      return Error{
          Kind::refused, std::string(codes::would_overwrite), {arg_text("file", to.string())}, {}};
    }
    return system_error(errno, to);
  }
  auto synced = sync_folder_of(to);
  // A new file that may not outlast a power cut was not made; a replaced one cannot be called back.
  if (!synced && if_there == IfThere::refuse) {
    std::error_code ignored;
    std::filesystem::remove(to, ignored);
  }
  return synced;
}

void remove_companions(const std::filesystem::path& path) {
  for (const char* ending : {"-wal", "-shm", "-journal"}) {
    std::error_code ignored;
    std::filesystem::remove(path.string() + ending, ignored);
  }
}

TemporaryFile::TemporaryFile(std::filesystem::path path)
    : path_(std::move(path)), locked_(::open(path_.c_str(), O_RDONLY | O_CLOEXEC)) {
  if (locked_ >= 0) static_cast<void>(::flock(locked_, LOCK_EX | LOCK_NB));
}

TemporaryFile::~TemporaryFile() {
  if (locked_ >= 0) ::close(locked_);
  std::error_code ignored;
  if (!moved_) std::filesystem::remove(path_, ignored);
  remove_companions(path_);
}

}  // namespace penstock::store
