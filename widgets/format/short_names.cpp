#include "widgets/format/short_names.h"

#include <QHash>
#include <algorithm>

namespace beatwitness::widgets {
namespace {

bool isBreak(QChar c) {
    return c.isSpace() || c == QLatin1Char('-') || c == QLatin1Char('_') || c == QLatin1Char('.');
}

/// Where each word of `stem` begins.
QList<qsizetype> wordStarts(const QString& stem) {
    QList<qsizetype> starts;
    for (qsizetype i = 0; i < stem.size(); ++i)
        if (!isBreak(stem[i]) && (i == 0 || isBreak(stem[i - 1]))) starts << i;
    return starts;
}

QStringView wordAt(const QString& stem, qsizetype start) {
    qsizetype end = start;
    while (end < stem.size() && !isBreak(stem[end]))
        ++end;
    return QStringView(stem).sliced(start, end - start);
}

/// How many leading words all of `stems` share; at least one stays with each.
qsizetype sharedWords(const QStringList& stems, const QList<QList<qsizetype>>& starts) {
    qsizetype shared = starts.front().size();
    for (qsizetype i = 0; i < stems.size(); ++i) {
        shared = std::min(shared, starts[i].size() - 1);
        for (qsizetype word = 0; word < shared; ++word)
            if (wordAt(stems[i], starts[i][word])
                    .compare(wordAt(stems[0], starts[0][word]), Qt::CaseInsensitive) != 0)
                shared = word;
    }
    return std::max<qsizetype>(shared, 0);
}

bool hasLetter(QStringView text) {
    return std::ranges::any_of(text, [](QChar c) { return c.isLetter(); });
}

}  // namespace

QStringList shortNames(const QStringList& stems) {
    if (stems.size() < 2) return stems;
    QList<QList<qsizetype>> starts;
    for (const auto& stem : stems)
        starts << wordStarts(stem);
    for (qsizetype dropped = sharedWords(stems, starts); dropped > 0; --dropped) {
        QStringList names;
        for (qsizetype i = 0; i < stems.size(); ++i)
            names << stems[i].mid(starts[i][dropped]);
        // "1 against 2" would say nothing.
        if (std::ranges::all_of(names, hasLetter)) return names;
    }
    return stems;
}

QStringList numberedWhereAlike(QStringList names) {
    QHash<QString, int> alike, seen;
    for (const auto& name : names)
        ++alike[name];
    for (auto& name : names) {
        if (alike[name] < 2) continue;
        const int number = ++seen[name];
        name = QStringLiteral("%1 %2").arg(name).arg(number);
    }
    return names;
}

}  // namespace beatwitness::widgets
