#include "fault/fault_vfs.hpp"

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <new>
#include <utility>

namespace penstock::fault {
namespace {

constexpr std::int64_t sector = 512;

std::vector<char> bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// SQLite allocates it with room for the real file behind it.
struct File {
  sqlite3_file base;
  FaultVfs* vfs;
  std::string* path;
  sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};
File& as_file(sqlite3_file* file) { return *reinterpret_cast<File*>(file); }

}  // namespace

/// The C side: each call asks whether it fails, passes through, and remembers.
struct FaultCalls {
  using Call = FaultVfs::Call;

  static int close(sqlite3_file* f) {
    File& file = as_file(f);
    const int rc = file.real()->pMethods->xClose(file.real());
    delete file.path;
    return rc;
  }
  static int read(sqlite3_file* f, void* out, int amount, sqlite3_int64 offset) {
    File& file = as_file(f);
    const std::lock_guard lock(file.vfs->mutex_);
    if (const int rc = file.vfs->failing(Call::read)) return rc;
    return file.real()->pMethods->xRead(file.real(), out, amount, offset);
  }
  static int write(sqlite3_file* f, const void* in, int amount, sqlite3_int64 offset) {
    File& file = as_file(f);
    FaultVfs& vfs = *file.vfs;
    const std::lock_guard lock(vfs.mutex_);
    const int failing = vfs.failing(Call::write);
    if (failing != 0) amount /= 2;
    if (amount > 0) {
      const int rc = file.real()->pMethods->xWrite(file.real(), in, amount, offset);
      if (rc != SQLITE_OK) return rc;
      if (vfs.tracked(*file.path)) {
        const auto* bytes = static_cast<const char*>(in);
        vfs.images_[*file.path].since.push_back({offset, {bytes, bytes + amount}, false});
      }
    }
    return failing;
  }
  static int truncate(sqlite3_file* f, sqlite3_int64 size) {
    File& file = as_file(f);
    const std::lock_guard lock(file.vfs->mutex_);
    if (const int rc = file.vfs->failing(Call::truncate)) return rc;
    const int rc = file.real()->pMethods->xTruncate(file.real(), size);
    if (rc == SQLITE_OK && file.vfs->tracked(*file.path)) {
      file.vfs->images_[*file.path].since.push_back({size, {}, true});
    }
    return rc;
  }
  static int sync(sqlite3_file* f, int flags) {
    File& file = as_file(f);
    const std::lock_guard lock(file.vfs->mutex_);
    if (const int rc = file.vfs->failing(Call::sync)) return rc;
    if (!file.vfs->tracked(*file.path)) {
      return file.real()->pMethods->xSync(file.real(), flags);
    }
    auto& image = file.vfs->images_[*file.path];
    for (const auto& change : image.since) FaultVfs::apply(image.synced, change);
    image.since.clear();
    // With a new file's first sync the system's layer syncs the folder, too; so what was removed
    // before stays removed.
    if (!std::exchange(image.synced_to_exist, true)) {
      std::erase_if(file.vfs->images_, [](const auto& entry) { return entry.second.removed; });
    }
    return SQLITE_OK;
  }
  static int file_size(sqlite3_file* f, sqlite3_int64* size) {
    File& file = as_file(f);
    const std::lock_guard lock(file.vfs->mutex_);
    if (const int rc = file.vfs->failing(Call::size)) return rc;
    return file.real()->pMethods->xFileSize(file.real(), size);
  }
  static int lock(sqlite3_file* f, int level) {
    return as_file(f).real()->pMethods->xLock(as_file(f).real(), level);
  }
  static int unlock(sqlite3_file* f, int level) {
    return as_file(f).real()->pMethods->xUnlock(as_file(f).real(), level);
  }
  static int check_reserved(sqlite3_file* f, int* out) {
    return as_file(f).real()->pMethods->xCheckReservedLock(as_file(f).real(), out);
  }
  static int control(sqlite3_file* f, int op, void* arg) {
    return as_file(f).real()->pMethods->xFileControl(as_file(f).real(), op, arg);
  }
  static int sector_size(sqlite3_file* f) {
    return as_file(f).real()->pMethods->xSectorSize(as_file(f).real());
  }
  static int characteristics(sqlite3_file*) { return 0; }  // promises nothing about torn writes
  static int shm_map(sqlite3_file* f, int page, int size, int extend, void volatile** out) {
    File& file = as_file(f);
    {
      const std::lock_guard lock(file.vfs->mutex_);
      if (const int rc = file.vfs->failing(Call::map)) return rc;
    }
    return file.real()->pMethods->xShmMap(file.real(), page, size, extend, out);
  }
  static int shm_lock(sqlite3_file* f, int offset, int n, int flags) {
    return as_file(f).real()->pMethods->xShmLock(as_file(f).real(), offset, n, flags);
  }
  static void shm_barrier(sqlite3_file* f) {
    as_file(f).real()->pMethods->xShmBarrier(as_file(f).real());
  }
  static int shm_unmap(sqlite3_file* f, int remove) {
    return as_file(f).real()->pMethods->xShmUnmap(as_file(f).real(), remove);
  }

  static FaultVfs& self(sqlite3_vfs* vfs) { return *static_cast<FaultVfs*>(vfs->pAppData); }
  static int open(sqlite3_vfs* v, const char* path, sqlite3_file* f, int flags, int* out_flags) {
    FaultVfs& vfs = self(v);
    const std::lock_guard lock(vfs.mutex_);
    File& file = as_file(f);
    file.base.pMethods = nullptr;  // SQLite closes only what has methods
    if (const int rc = vfs.failing(Call::open)) return rc;
    const bool existed = path != nullptr && std::filesystem::exists(path);
    const int rc = vfs.real_->xOpen(vfs.real_, path, file.real(), flags, out_flags);
    if (rc != SQLITE_OK) return rc;
    file.vfs = &vfs;
    file.path = new std::string(path == nullptr ? "" : path);
    file.base.pMethods = &methods;
    if (vfs.tracked(*file.path)) {
      auto [at, is_new] = vfs.images_.try_emplace(*file.path);
      auto& image = at->second;
      if (is_new && existed) {
        image.synced_to_exist = true;
        image.synced = bytes_of(*file.path);
      }
      if (!existed && image.removed) {
        // The old file may still be what a power cut leaves; what is written now is a new one. To
        // keep to one image a name, the removal counts as synced: a log that is made anew in the
        // same folder has its folder synced with it.
        image = {};
      }
    }
    return SQLITE_OK;
  }
  static int remove(sqlite3_vfs* v, const char* path, int sync_folder) {
    FaultVfs& vfs = self(v);
    const std::lock_guard lock(vfs.mutex_);
    if (const int rc = vfs.failing(Call::remove)) return rc;
    const int rc = vfs.real_->xDelete(vfs.real_, path, vfs.remembers_ ? 0 : sync_folder);
    if (rc == SQLITE_OK && vfs.tracked(path)) {
      if (sync_folder != 0) {
        vfs.images_.erase(path);
      } else {
        vfs.images_[path].removed = true;
      }
    }
    return rc;
  }
  static int access(sqlite3_vfs* v, const char* path, int flags, int* out) {
    return self(v).real_->xAccess(self(v).real_, path, flags, out);
  }
  static int full_path(sqlite3_vfs* v, const char* path, int size, char* out) {
    return self(v).real_->xFullPathname(self(v).real_, path, size, out);
  }
  static int randomness(sqlite3_vfs* v, int size, char* out) {
    return self(v).real_->xRandomness(self(v).real_, size, out);
  }
  static int sleep(sqlite3_vfs* v, int microseconds) {
    return self(v).real_->xSleep(self(v).real_, microseconds);
  }
  static int time(sqlite3_vfs* v, double* out) {
    return self(v).real_->xCurrentTime(self(v).real_, out);
  }
  static int time_ms(sqlite3_vfs* v, sqlite3_int64* out) {
    return self(v).real_->xCurrentTimeInt64(self(v).real_, out);
  }
  static int last_error(sqlite3_vfs*, int, char*) { return 0; }

  static const sqlite3_io_methods methods;
};

const sqlite3_io_methods FaultCalls::methods = {2,
                                                close,
                                                read,
                                                write,
                                                truncate,
                                                sync,
                                                file_size,
                                                lock,
                                                unlock,
                                                check_reserved,
                                                control,
                                                sector_size,
                                                characteristics,
                                                shm_map,
                                                shm_lock,
                                                shm_barrier,
                                                shm_unmap,
                                                nullptr,
                                                nullptr};

FaultVfs::FaultVfs(const char* name) : real_(sqlite3_vfs_find(nullptr)) {
  vfs_.iVersion = 2;
  vfs_.szOsFile = static_cast<int>(sizeof(File)) + real_->szOsFile;
  vfs_.mxPathname = real_->mxPathname;
  vfs_.zName = name;
  vfs_.pAppData = this;
  vfs_.xOpen = FaultCalls::open;
  vfs_.xDelete = FaultCalls::remove;
  vfs_.xAccess = FaultCalls::access;
  vfs_.xFullPathname = FaultCalls::full_path;
  vfs_.xRandomness = FaultCalls::randomness;
  vfs_.xSleep = FaultCalls::sleep;
  vfs_.xCurrentTime = FaultCalls::time;
  vfs_.xCurrentTimeInt64 = FaultCalls::time_ms;
  vfs_.xGetLastError = FaultCalls::last_error;
  sqlite3_vfs_register(&vfs_, 0);
}

FaultVfs::~FaultVfs() { sqlite3_vfs_unregister(&vfs_); }

void FaultVfs::fail_at(int n, Fault fault, Lasting lasting) {
  armed_ = true;
  calls_left_ = n;
  fault_ = fault;
  lasting_ = lasting;
  failures_ = 0;
}

void FaultVfs::stop_failing() { armed_ = false; }

int FaultVfs::failing(Call call) {
  constexpr int codes[] = {SQLITE_CANTOPEN,     SQLITE_IOERR_READ,     SQLITE_IOERR_WRITE,
                           SQLITE_IOERR_FSYNC,  SQLITE_IOERR_TRUNCATE, SQLITE_IOERR_FSTAT,
                           SQLITE_IOERR_DELETE, SQLITE_IOERR_SHMMAP};
  const int code = codes[static_cast<int>(call)];
  if (dead_) return code;
  if (cut_armed_ && --cut_left_ <= 0) {
    dead_ = true;
    return code;
  }
  // A full disk is met where something grows; everything else works.
  if (!armed_ || (fault_ == Fault::disk_full && call != Call::write)) return 0;
  if (calls_left_ > 0) --calls_left_;
  if (calls_left_ > 0) return 0;
  if (lasting_ == Lasting::once && failures_ > 0) return 0;
  ++failures_;
  return fault_ == Fault::disk_full ? SQLITE_FULL : code;
}

// ---- power

void FaultVfs::remember_syncs() { remembers_ = true; }

void FaultVfs::cut_power_at(int n) {
  cut_armed_ = true;
  cut_left_ = n;
}

bool FaultVfs::tracked(const std::string& path) const { return remembers_ && !path.empty(); }

void FaultVfs::apply(std::vector<char>& bytes, const Change& change) {
  const auto at = static_cast<std::size_t>(change.offset);
  if (change.truncates) {
    bytes.resize(at);
    return;
  }
  if (bytes.size() < at + change.bytes.size()) bytes.resize(at + change.bytes.size());
  std::copy(change.bytes.begin(), change.bytes.end(),
            bytes.begin() + static_cast<std::ptrdiff_t>(at));
}

void FaultVfs::apply_some(std::vector<char>& bytes, const Change& change, std::mt19937& dice) {
  if (change.truncates) {
    if (dice() % 2 == 0) apply(bytes, change);
    return;
  }
  // Sector by sector, as a disk writes: each of them whole or not at all.
  const auto end = change.offset + static_cast<std::int64_t>(change.bytes.size());
  for (auto from = change.offset; from < end;) {
    const auto to = std::min(end, (from / sector + 1) * sector);
    if (dice() % 2 == 0) {
      const auto first = change.bytes.begin() + (from - change.offset);
      apply(bytes, {from, {first, first + (to - from)}, false});
    }
    from = to;
  }
}

void FaultVfs::leave_what_was_synced(unsigned seed, Unsynced unsynced) {
  std::mt19937 dice(seed);
  for (auto& [path, image] : images_) {
    const bool may_be_otherwise = unsynced == Unsynced::some_kept && dice() % 2 == 0;
    const bool exists = image.removed ? (image.synced_to_exist && may_be_otherwise)
                                      : (image.synced_to_exist || may_be_otherwise);
    if (!exists) {
      std::filesystem::remove(path);
      continue;
    }
    auto bytes = image.synced;
    if (unsynced == Unsynced::some_kept) {
      for (const auto& change : image.since) apply_some(bytes, change, dice);
    }
    std::ofstream(path, std::ios::binary | std::ios::trunc)
        .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  }
  images_.clear();
  dead_ = false;
  cut_armed_ = false;
  remembers_ = false;
}

}  // namespace penstock::fault
