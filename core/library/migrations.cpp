#include "core/library/migrations.h"

#include <fmt/format.h>

#include <system_error>

namespace beatwitness::library {
namespace {

namespace fs = std::filesystem;

/// A name beside the library that is not taken.
fs::path copyName(const fs::path& library, std::int64_t version) {
    fs::path name = library;
    name += fmt::format(".version-{}", version);
    for (int number = 2; fs::exists(name); ++number) {
        name = library;
        name += fmt::format(".version-{}.{}", version, number);
    }
    return name;
}

Result<Done> takeSteps(Database& database, std::span<const Migration> migrations, std::int64_t from) {
    Transaction transaction{database, Durability::Full};
    for (const auto& migration : migrations)
        if (migration.version > from) database.runScript(migration.sql);
    database.run(fmt::format("PRAGMA application_id = {}", applicationId));
    database.run(fmt::format("PRAGMA user_version = {}", migrations.back().version));
    if (database.statement("PRAGMA foreign_key_check").step())
        database.fail(FaultCode::LibraryDamaged,
                      "rows of the library point to rows that are not there; a whole library was expected; "
                      "nothing was changed");
    return transaction.commit();
}

}  // namespace

Result<Done> migrate(Database& database, std::span<const Migration> migrations) {
    const std::int64_t from = database.number("PRAGMA user_version").value_or(0);
    if (auto read = database.outcome(); !read) return read;
    const std::int64_t to = migrations.back().version;
    if (from > to)
        return Fault{
            FaultCode::LibraryNewer,
            fmt::format("this library was written by a newer Beatwitness (version {} of its layout; at "
                        "most {} is known here); nothing was changed",
                        from, to),
            database.file().string(),
            {},
            {}};
    if (from == to) return Done{};

    fs::path copy;
    if (from > 0) {
        copy = copyName(database.file(), from);
        if (auto copied = database.copyTo(copy); !copied) {
            std::error_code ignored;
            fs::remove(copy, ignored);
            return copied;
        }
    }
    // A step may have to build a table anew, which the keys that point to it would forbid half-way.
    database.run("PRAGMA foreign_keys = OFF");
    auto done = takeSteps(database, migrations, from);
    database.run("PRAGMA foreign_keys = ON");
    if (!done && !copy.empty()) {
        std::error_code ignored;
        fs::remove(copy, ignored);
    }
    return done;
}

}  // namespace beatwitness::library
