#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/foundation/result.h"
#include "core/library/ids.h"

struct sqlite3_stmt;

/// SQLite, for the files of core/library alone. No other header or code of SQLite's leaves database.cpp.
namespace beatwitness::library {

class Database;

/// One statement at work. Its compiled form goes back to the database's store when it ends.
///
/// Columns count from 0, parameters are bound in order and never pasted. Texts and blobs are valid until the
/// next step().
class Statement {
public:
    ~Statement();
    Statement(Statement&& other) noexcept;
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;
    Statement& operator=(Statement&&) = delete;

    /// True where there is a(nother) row. False at the end and after a failure: the database knows which.
    bool step();

    [[nodiscard]] bool isNull(int column) const;
    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] double real(int column) const;
    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] std::span<const std::byte> blob(int column) const;
    [[nodiscard]] std::optional<std::int64_t> maybeInteger(int column) const;
    [[nodiscard]] std::optional<double> maybeReal(int column) const;
    template <class RowId>
    [[nodiscard]] RowId id(int column) const {
        return RowId{integer(column)};
    }

private:
    friend class Database;
    struct Cached;
    Statement(Database& database, Cached* cached) : database_{&database}, cached_{cached} {}

    void bindAt(int place, std::int64_t value);
    void bindAt(int place, double value);
    void bindAt(int place, std::string_view value);
    void bindAt(int place, std::span<const std::byte> value);
    void bindNull(int place);
    template <class Row>
    void bindAt(int place, Id<Row> value) {
        bindAt(place, value.value);
    }
    template <class Value>
    void bindAt(int place, const std::optional<Value>& value) {
        if (value)
            bindAt(place, *value);
        else
            bindNull(place);
    }
    void judged(int code);

    Database* database_;
    Cached* cached_;  ///< nullptr after a failure: nothing more is done
};

/// One connection to an SQLite file; for one thread at a time.
///
/// The first failure stays until it is taken: until then every further statement does nothing and finds no
/// row. So a run of statements is written without a test after each and judged once, by outcome() or by
/// Transaction::commit().
class Database {
public:
    enum class Mode {
        ReadWrite,  ///< created where it is not there
        ReadOnly,
        Frozen,  ///< read-only, and nobody else writes: needs no files beside it
    };

    /// Faults: LibraryNotOpened. Others may show at the first statement only.
    [[nodiscard]] static Result<Database> open(const std::filesystem::path& file, Mode mode,
                                               std::chrono::milliseconds patience);
    ~Database();
    Database(Database&&) noexcept;
    Database& operator=(Database&&) noexcept;

    template <class... Values>
    [[nodiscard]] Statement statement(std::string_view sql, const Values&... values) {
        Statement prepared = this->prepared(sql);
        int place = 0;
        (prepared.bindAt(++place, values), ...);
        return prepared;
    }
    /// A statement without rows; true where it was done.
    template <class... Values>
    bool run(std::string_view sql, const Values&... values) {
        statement(sql, values...).step();
        return !failed();
    }
    /// The whole number in the first row and column; nothing where there is no row.
    template <class... Values>
    [[nodiscard]] std::optional<std::int64_t> number(std::string_view sql, const Values&... values) {
        Statement found = statement(sql, values...);
        return found.step() && !found.isNull(0) ? std::optional{found.integer(0)} : std::nullopt;
    }
    /// Several statements without parameters, as a migration holds them.
    bool runScript(const char* sql);

    [[nodiscard]] std::int64_t lastInsertId() const;

    [[nodiscard]] bool failed() const;
    /// A failure that our own checks found, e.g. LibraryDamaged; the first one stands.
    void fail(FaultCode code, std::string message);
    /// Done, or the failure, which then is taken.
    [[nodiscard]] Result<Done> outcome();

    /// Copies the whole file through SQLite's backup interface. Faults: as for writing.
    [[nodiscard]] Result<Done> copyTo(const std::filesystem::path& copy);

    [[nodiscard]] const std::filesystem::path& file() const;

private:
    friend class Statement;
    friend class Transaction;
    struct State;
    explicit Database(std::unique_ptr<State> state);
    [[nodiscard]] Statement prepared(std::string_view sql);
    void failedWith(int code);
    void rollBack();

    std::unique_ptr<State> state_;
};

/// How much a power cut may take. A kill of the program takes nothing that was committed, either way.
enum class Durability {
    Full,    ///< nothing: each commit waits for the disk; for imports
    Normal,  ///< the last commits; for gestures
};

/// Everything between begin and commit, or nothing. Rolls back where it was not committed.
class Transaction {
public:
    Transaction(Database& database, Durability durability);
    ~Transaction();
    Transaction(Transaction&& other) noexcept;
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    Transaction& operator=(Transaction&&) = delete;

    /// Done, or the first failure since it began; then everything is rolled back.
    [[nodiscard]] Result<Done> commit();

private:
    Database* database_;
};

}  // namespace beatwitness::library
