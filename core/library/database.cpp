#include "core/library/database.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <cassert>
#include <cerrno>
#include <deque>
#include <string>
#include <system_error>
#include <unordered_map>
#include <utility>
#include <vector>

namespace beatwitness::library {
namespace {

struct ConnectionCloser {
    void operator()(sqlite3* connection) const { sqlite3_close_v2(connection); }
};
using Connection = std::unique_ptr<sqlite3, ConnectionCloser>;

bool isNoRoom(int systemError) {
    return systemError == ENOSPC || systemError == EFBIG || systemError == EDQUOT;
}

/// What SQLite says, as a code and a sentence of ours.
std::pair<FaultCode, std::string> judgement(int extended, int systemError, std::string_view detail) {
    switch (extended & 0xFF) {
        case SQLITE_FULL:
            return {FaultCode::LibraryFull,
                    "there is no room left to write the library; nothing was changed"};
        case SQLITE_READONLY:
            return {FaultCode::LibraryReadOnly,
                    "the library cannot be written, since the file or its folder is read-only; nothing was "
                    "changed"};
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
        case SQLITE_PROTOCOL:
            return {
                FaultCode::LibraryLocked,
                "another program keeps the library locked; it was expected to be free; nothing was changed"};
        case SQLITE_CORRUPT:
        case SQLITE_FORMAT:
            return {
                FaultCode::LibraryDamaged,
                fmt::format("the library is damaged ({}); a whole library was expected; nothing was changed",
                            detail)};
        case SQLITE_NOTADB:
            return {FaultCode::LibraryForeign,
                    "this is not a Beatwitness library; one was expected; nothing was changed"};
        case SQLITE_CANTOPEN:
        case SQLITE_PERM:
        case SQLITE_AUTH:
            return {FaultCode::LibraryNotOpened,
                    fmt::format("the library could not be opened ({}); nothing was changed",
                                systemError != 0 ? std::generic_category().message(systemError)
                                                 : std::string{detail})};
        case SQLITE_TOOBIG:
            return {FaultCode::LibraryFull,
                    "a recording is too long to be stored, above 1 GB when compressed; nothing was changed"};
        case SQLITE_IOERR:
            if (isNoRoom(systemError))
                return {FaultCode::LibraryFull,
                        "there is no room left to write the library; nothing was changed"};
            if (extended == SQLITE_IOERR_SHORT_READ)
                return {FaultCode::LibraryDamaged,
                        "the library ends too early; a whole library was expected; nothing was changed"};
            break;
        default:
            break;
    }
    return {FaultCode::LibraryFailed,
            fmt::format("the library could not be read or written ({}{}{}); nothing was changed", detail,
                        systemError != 0 ? ", " : "",
                        systemError != 0 ? std::generic_category().message(systemError) : "")};
}

/// The system's own reason. SQLite keeps it for failed openings; for failed writes it still stands in errno.
/// Requires: called right after the failure, errno cleared before the call that failed.
int systemErrorOf(sqlite3* connection) {
    const int last = errno;
    const int kept = connection != nullptr ? sqlite3_system_errno(connection) : 0;
    return kept != 0 ? kept : last;
}

Fault faultOf(sqlite3* connection, int code, const std::filesystem::path& file) {
    const int systemError = systemErrorOf(connection);
    const int extended = connection != nullptr ? sqlite3_extended_errcode(connection) : code;
    auto [kind, message] =
        judgement((extended & 0xFF) == (code & 0xFF) ? extended : code, systemError,
                  connection != nullptr ? sqlite3_errmsg(connection) : sqlite3_errstr(code));
    return {kind, std::move(message), file.string(), {}, {}};
}

/// The path as SQLite's own kind of address, in which `?`, `#` and `%` are no letters.
std::string addressOf(const std::filesystem::path& file, std::string_view query) {
    std::string address = "file:";
    for (const char letter : std::filesystem::absolute(file).string())
        if (letter == '?' || letter == '#' || letter == '%')
            address += fmt::format("%{:02X}", static_cast<unsigned>(letter));
        else
            address += letter;
    return address + std::string{query};
}

}  // namespace

struct Statement::Cached {
    sqlite3_stmt* compiled = nullptr;
    bool isInUse = false;
};

struct Database::State {
    std::filesystem::path file;
    Connection connection;
    std::optional<Fault> failure;
    std::deque<Statement::Cached> compiled;  // a deque: statements hold on to its elements
    std::unordered_multimap<std::string, Statement::Cached*> bySql;

    ~State() {
        for (auto& cached : compiled)
            sqlite3_finalize(cached.compiled);
    }
};

Statement::~Statement() {
    if (cached_ == nullptr) return;
    sqlite3_reset(cached_->compiled);
    sqlite3_clear_bindings(cached_->compiled);
    cached_->isInUse = false;
}

Statement::Statement(Statement&& other) noexcept
    : database_{other.database_}, cached_{std::exchange(other.cached_, nullptr)} {}

bool Statement::step() {
    if (cached_ == nullptr || database_->failed()) return false;
    errno = 0;
    const int code = sqlite3_step(cached_->compiled);
    if (code == SQLITE_ROW) return true;
    if (code != SQLITE_DONE) database_->failedWith(code);
    return false;
}

void Statement::judged(int code) {
    if (code != SQLITE_OK) database_->failedWith(code);
}

void Statement::bindAt(int place, std::int64_t value) {
    if (cached_ != nullptr) judged(sqlite3_bind_int64(cached_->compiled, place, value));
}

void Statement::bindAt(int place, double value) {
    if (cached_ != nullptr) judged(sqlite3_bind_double(cached_->compiled, place, value));
}

void Statement::bindAt(int place, std::string_view value) {
    if (cached_ != nullptr)
        judged(sqlite3_bind_text64(cached_->compiled, place, value.empty() ? "" : value.data(), value.size(),
                                   SQLITE_TRANSIENT, SQLITE_UTF8));
}

void Statement::bindAt(int place, std::span<const std::byte> value) {
    if (cached_ == nullptr) return;
    judged(value.empty()
               ? sqlite3_bind_zeroblob(cached_->compiled, place, 0)
               : sqlite3_bind_blob64(cached_->compiled, place, value.data(), value.size(), SQLITE_TRANSIENT));
}

void Statement::bindNull(int place) {
    if (cached_ != nullptr) judged(sqlite3_bind_null(cached_->compiled, place));
}

bool Statement::isNull(int column) const {
    return sqlite3_column_type(cached_->compiled, column) == SQLITE_NULL;
}

std::int64_t Statement::integer(int column) const {
    return sqlite3_column_int64(cached_->compiled, column);
}

double Statement::real(int column) const {
    return sqlite3_column_double(cached_->compiled, column);
}

std::string Statement::text(int column) const {
    const auto* letters = reinterpret_cast<const char*>(sqlite3_column_text(cached_->compiled, column));
    if (letters == nullptr) return {};
    return {letters, static_cast<std::size_t>(sqlite3_column_bytes(cached_->compiled, column))};
}

std::span<const std::byte> Statement::blob(int column) const {
    const auto* bytes = static_cast<const std::byte*>(sqlite3_column_blob(cached_->compiled, column));
    if (bytes == nullptr) return {};
    return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(cached_->compiled, column))};
}

std::optional<std::int64_t> Statement::maybeInteger(int column) const {
    return isNull(column) ? std::nullopt : std::optional{integer(column)};
}

std::optional<double> Statement::maybeReal(int column) const {
    return isNull(column) ? std::nullopt : std::optional{real(column)};
}

Database::Database(std::unique_ptr<State> state) : state_{std::move(state)} {}
Database::~Database() = default;
Database::Database(Database&&) noexcept = default;
Database& Database::operator=(Database&&) noexcept = default;

Result<Database> Database::open(const std::filesystem::path& file, Mode mode,
                                std::chrono::milliseconds patience) {
    const int flags =
        (mode == Mode::ReadWrite ? SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE : SQLITE_OPEN_READONLY) |
        SQLITE_OPEN_URI | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
    sqlite3* raw = nullptr;
    errno = 0;
    const int code = sqlite3_open_v2(addressOf(file, mode == Mode::Frozen ? "?immutable=1" : "").c_str(),
                                     &raw, flags, nullptr);
    auto state = std::make_unique<State>();
    state->file = file;
    state->connection.reset(raw);
    if (code != SQLITE_OK) return faultOf(raw, code, file);
    sqlite3_busy_timeout(raw, static_cast<int>(patience.count()));
    sqlite3_db_config(raw, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    Database database{std::move(state)};
    database.run("PRAGMA foreign_keys = ON");
    database.run("PRAGMA cell_size_check = ON");
    database.run("PRAGMA cache_size = -16000");
    if (auto done = database.outcome(); !done) return done.fault();
    return database;
}

Statement Database::prepared(std::string_view sql) {
    if (failed()) return {*this, nullptr};
    const std::string key{sql};
    for (auto [at, end] = state_->bySql.equal_range(key); at != end; ++at) {
        if (at->second->isInUse) continue;
        at->second->isInUse = true;
        return {*this, at->second};
    }
    sqlite3_stmt* compiled = nullptr;
    const int code =
        sqlite3_prepare_v3(state_->connection.get(), key.c_str(), static_cast<int>(key.size()) + 1,
                           SQLITE_PREPARE_PERSISTENT, &compiled, nullptr);
    if (code != SQLITE_OK) {
        failedWith(code);
        return {*this, nullptr};
    }
    auto& cached = state_->compiled.emplace_back(Statement::Cached{compiled, true});
    state_->bySql.emplace(key, &cached);
    return {*this, &cached};
}

bool Database::runScript(const char* sql) {
    if (failed()) return false;
    errno = 0;
    const int code = sqlite3_exec(state_->connection.get(), sql, nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) failedWith(code);
    return code == SQLITE_OK;
}

std::int64_t Database::lastInsertId() const {
    return sqlite3_last_insert_rowid(state_->connection.get());
}

bool Database::failed() const {
    return state_->failure.has_value();
}

void Database::fail(FaultCode code, std::string message) {
    if (!failed()) state_->failure = Fault{code, std::move(message), state_->file.string(), {}, {}};
}

void Database::failedWith(int code) {
    if (!failed()) state_->failure = faultOf(state_->connection.get(), code, state_->file);
}

Result<Done> Database::outcome() {
    if (!failed()) return Done{};
    Fault fault = std::move(*state_->failure);
    state_->failure.reset();
    return fault;
}

Result<Done> Database::copyTo(const std::filesystem::path& copy) {
    auto target = open(copy, Mode::ReadWrite, std::chrono::milliseconds{0});
    if (!target) return target.fault();
    auto* to = target->state_->connection.get();
    auto* backup = sqlite3_backup_init(to, "main", state_->connection.get(), "main");
    if (backup == nullptr) return faultOf(to, sqlite3_errcode(to), copy);
    errno = 0;
    sqlite3_backup_step(backup, -1);
    const int code = sqlite3_backup_finish(backup);
    if (code != SQLITE_OK) return faultOf(to, code, copy);
    return Done{};
}

const std::filesystem::path& Database::file() const {
    return state_->file;
}

void Database::rollBack() {
    // SQLite may have rolled back by itself, e.g. when the disk was full.
    if (sqlite3_get_autocommit(state_->connection.get()) == 0)
        sqlite3_exec(state_->connection.get(), "ROLLBACK", nullptr, nullptr, nullptr);
}

Transaction::Transaction(Database& database, Durability durability) : database_{&database} {
    database.run(durability == Durability::Full ? "PRAGMA synchronous = FULL"
                                                : "PRAGMA synchronous = NORMAL");
    database.run("BEGIN IMMEDIATE");
}

Transaction::Transaction(Transaction&& other) noexcept : database_{std::exchange(other.database_, nullptr)} {}

Transaction::~Transaction() {
    if (database_ == nullptr) return;
    database_->rollBack();
    // What failed belongs to what was rolled back; it must not spoil the next transaction.
    static_cast<void>(database_->outcome());
}

Result<Done> Transaction::commit() {
    assert(database_ != nullptr);
    database_->run("COMMIT");
    if (database_->failed()) database_->rollBack();
    return std::exchange(database_, nullptr)->outcome();
}

}  // namespace beatwitness::library
