#include "core/library/library_file.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <memory>
#include <string_view>
#include <system_error>
#include <utility>

#include "core/library/migrations.h"

namespace beatwitness::library {
namespace {

namespace fs = std::filesystem;

struct FileCloser {
    void operator()(std::FILE* file) const { std::fclose(file); }
};

Fault faultOf(FaultCode code, std::string message, const fs::path& path) {
    return {code, std::move(message), path.string(), {}, {}};
}

fs::path beside(const fs::path& path, std::string_view ending) {
    fs::path name = path;
    name += ending;
    return name;
}

/// The first 100 bytes of an SQLite file, which say what it is.
struct FileHead {
    std::array<unsigned char, 100> bytes{};
    std::size_t size = 0;

    [[nodiscard]] bool isSqlite() const {
        constexpr std::string_view mark{"SQLite format 3\0", 16};
        return size == bytes.size() &&
               std::equal(mark.begin(), mark.end(), bytes.begin(),
                          [](char a, unsigned char b) { return static_cast<unsigned char>(a) == b; });
    }
    [[nodiscard]] std::int64_t application() const {
        return std::int64_t{bytes[68]} << 24 | bytes[69] << 16 | bytes[70] << 8 | bytes[71];
    }
    [[nodiscard]] bool needsLog() const { return bytes[18] == 2 || bytes[19] == 2; }
};

Result<FileHead> headOf(const fs::path& path) {
    errno = 0;
    const std::unique_ptr<std::FILE, FileCloser> file{std::fopen(path.c_str(), "rb")};
    if (!file)
        return faultOf(
            FaultCode::LibraryNotOpened,
            fmt::format("the library could not be opened ({})", std::generic_category().message(errno)),
            path);
    FileHead head;
    head.size = std::fread(head.bytes.data(), 1, head.bytes.size(), file.get());
    return head;
}

/// A file that is no library of ours is found out before SQLite touches it.
Result<Done> checkKind(const fs::path& path, const OpenOptions& options) {
    // What an interrupted first write left is for SQLite to take back; the application is asked after.
    if (fs::exists(beside(path, "-journal"))) return Done{};
    const auto head = headOf(path);
    if (!head) return head.fault();
    if (head->size == 0 && options.createIfAbsent && options.write) return Done{};
    if (head->size == 0)
        return faultOf(FaultCode::LibraryForeign, "the file is empty; a Beatwitness library was expected",
                       path);
    if (!head->isSqlite())
        return faultOf(FaultCode::LibraryForeign,
                       "this is not a Beatwitness library, nor any SQLite file; nothing was changed", path);
    if (head->application() != applicationId)
        return faultOf(
            FaultCode::LibraryForeign,
            "this SQLite file belongs to another program; a Beatwitness library was expected; nothing "
            "was changed",
            path);
    return Done{};
}

/// Nothing but a regular file can be a library. True where there is one.
Result<bool> isThere(const fs::path& path, const OpenOptions& options) {
    std::error_code error;
    const auto status = fs::status(path, error);
    switch (status.type()) {
        case fs::file_type::regular:
            return true;
        case fs::file_type::directory:
            return faultOf(FaultCode::LibraryNotOpened,
                           "this is a folder; the file of a library was expected", path);
        case fs::file_type::not_found:
            break;
        default:
            return faultOf(FaultCode::LibraryNotOpened,
                           error ? fmt::format("the library could not be opened ({})", error.message())
                                 : "this is a device, not a file; the file of a library was expected",
                           path);
    }
    if (!options.createIfAbsent || !options.write)
        return faultOf(FaultCode::LibraryNotOpened, "there is no such library", path);
    const auto folder = path.has_parent_path() ? path.parent_path() : fs::path{"."};
    if (!fs::is_directory(folder, error))
        return faultOf(FaultCode::LibraryNotOpened, "there is no such folder to create the library in", path);
    return false;
}

}  // namespace

Micros now() {
    return std::chrono::duration_cast<Micros>(std::chrono::system_clock::now().time_since_epoch());
}

Result<LibraryFile> LibraryFile::open(const fs::path& path, const OpenOptions& options) {
    LibraryFile file;
    std::error_code error;
    // Two names of one file must meet at one lock.
    file.path_ = fs::weakly_canonical(fs::absolute(path, error), error);
    if (error) file.path_ = path;
    const auto there = isThere(file.path_, options);
    if (!there) return there.fault();
    if (*there)
        if (auto kind = checkKind(file.path_, options); !kind) return kind.fault();
    file.takeLock(options, *there);
    if (file.readOnlyBecause_ && !*there) return *file.readOnlyBecause_;
    if (auto done = file.connect(options); !done) return done.fault();
    if (auto done = file.check(options); !done) {
        file.database_.reset();
        return done.fault();
    }
    return file;
}

void LibraryFile::takeLock(const OpenOptions& options, bool isThere) {
    const auto readOnly = [this](FaultCode code, std::string_view why) {
        readOnlyBecause_ = faultOf(code, std::string{why}, path_);
    };
    if (!options.write)
        return readOnly(FaultCode::LibraryReadOnly, "the library was opened for reading only");
    if (isThere && ::access(path_.c_str(), W_OK) != 0)
        return readOnly(FaultCode::LibraryReadOnly,
                        "the library is open for reading only, since its file is read-only");
    auto taken = WriterLock::take(path_);
    if (auto* lock = std::get_if<WriterLock>(&taken)) {
        lock_ = std::move(*lock);
        return;
    }
    if (std::get<WriterLock::Refusal>(taken) == WriterLock::Refusal::HeldElsewhere)
        return readOnly(FaultCode::LibraryLocked,
                        "the library is open for reading only, since another window or program writes to it");
    readOnly(FaultCode::LibraryReadOnly,
             isThere ? "the library is open for reading only, since its folder is read-only"
                     : "the library could not be created, since its folder is read-only");
}

Result<Done> LibraryFile::connect(const OpenOptions& options) {
    auto mode = readOnlyBecause_ ? Database::Mode::ReadOnly : Database::Mode::ReadWrite;
    if (readOnlyBecause_) {
        const auto head = headOf(path_);
        if (!head) return head.fault();
        // Copied while it was open, and now where no log can be made beside it: it reads as it stands.
        const bool canMakeLog = ::access(path_.parent_path().c_str(), W_OK) == 0;
        if (head->needsLog() && !canMakeLog && !fs::exists(beside(path_, "-wal")))
            mode = Database::Mode::Frozen;
    }
    auto opened = Database::open(path_, mode, options.patience);
    if (!opened) return opened.fault();
    database_ = std::move(*opened);
    return Done{};
}

Result<Done> LibraryFile::check(const OpenOptions& options) {
    const auto application = database_->number("PRAGMA application_id").value_or(0);
    const auto version = database_->number("PRAGMA user_version").value_or(0);
    const auto tables = database_->number("SELECT count(*) FROM sqlite_schema").value_or(0);
    if (auto read = database_->outcome(); !read) return read;
    const bool isNew = application == 0 && version == 0 && tables == 0;
    if (application != applicationId && !(isNew && options.createIfAbsent && !readOnlyBecause_))
        return faultOf(
            FaultCode::LibraryForeign,
            "this SQLite file belongs to another program; a Beatwitness library was expected; nothing "
            "was changed",
            path_);
    if (readOnlyBecause_ && version < builtInMigrations().back().version)
        return faultOf(FaultCode::LibraryReadOnly,
                       "the library has an older layout that must be brought up to date, but it cannot be "
                       "written",
                       path_);
    if (auto migrated = migrate(*database_, builtInMigrations()); !migrated) return migrated;
    wasCreated_ = isNew;
    if (readOnlyBecause_) return Done{};
    database_->run("PRAGMA journal_mode = WAL");
    auto logged = database_->outcome();
    // A reader of the closed file may hold it up; then it works without the log, only slower.
    if (!logged && logged.fault().code == FaultCode::LibraryLocked) return Done{};
    return logged;
}

void LibraryFile::leaveOneFile() {
    if (!database_) return;  // moved from, or never opened
    const auto tidy = [](Database& database) {
        database.run("PRAGMA busy_timeout = 0");
        database.run("PRAGMA journal_mode = DELETE");
        static_cast<void>(database.outcome());  // a reader still has it open: the last one tidies up
    };
    if (lock_) {
        static_cast<void>(database_->outcome());
        tidy(*database_);
        database_.reset();
        return;
    }
    database_.reset();
    if (!fs::exists(beside(path_, "-wal")) || ::access(path_.c_str(), W_OK) != 0) return;
    auto taken = WriterLock::take(path_);
    if (!std::holds_alternative<WriterLock>(taken)) return;
    auto writer = Database::open(path_, Database::Mode::ReadWrite, std::chrono::milliseconds{0});
    if (writer) tidy(*writer);
}

LibraryFile::LibraryFile(LibraryFile&& other) noexcept
    : path_{std::move(other.path_)},
      lock_{std::exchange(other.lock_, std::nullopt)},
      readOnlyBecause_{std::move(other.readOnlyBecause_)},
      database_{std::exchange(other.database_, std::nullopt)},
      wasCreated_{other.wasCreated_} {}

LibraryFile::~LibraryFile() {
    leaveOneFile();
}

}  // namespace beatwitness::library
