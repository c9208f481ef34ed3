#include "app/pages/compare/kept_comparisons.h"

#include <QAction>
#include <QInputDialog>
#include <QMenu>
#include <algorithm>

namespace beatwitness::app {

using namespace library;

namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

report::ComparedAsk askOf(const ComparisonParticulars& kept) {
    report::ComparedAsk ask;
    ask.a = kept.a;
    ask.b = kept.b;
    report::takeChoices(ask, kept.choices);
    return ask;
}

}  // namespace

KeptComparisons::KeptComparisons(LibraryDocument& library, QWidget* window)
    : QObject(window), library_(library), window_(window), menu_(new QMenu(tr("&Kept Comparisons"), window)) {
    const auto add = [&](const QString& text, const QKeySequence& keys, const char* name) {
        auto* action = new QAction(text, this);
        action->setObjectName(QString::fromLatin1(name));
        action->setShortcut(keys);
        window->addAction(action);
        return action;
    };
    keep = add(tr("&Keep This Comparison …"), Qt::CTRL | Qt::ALT | Qt::Key_K, "keepComparison");
    rename = add(tr("&Rename …"), {}, "renameComparison");
    remove = add(tr("&Delete"), {}, "deleteComparison");
    connect(menu_, &QMenu::aboutToShow, this, &KeptComparisons::fill);
    connect(keep, &QAction::triggered, this, [this] {
        askName(tr("Keep This Comparison"), tr("%1 and %2").arg(qt(ask_.a), qt(ask_.b)),
                &KeptComparisons::keepAs);
    });
    connect(rename, &QAction::triggered, this, [this] {
        for (const auto& [id, is] : all())
            if (id == current())
                return askName(tr("Rename Comparison"), qt(is.label), &KeptComparisons::renameTo);
    });
    connect(remove, &QAction::triggered, this, &KeptComparisons::removeCurrent);
    connect(&library_, &LibraryDocument::changed, this, &KeptComparisons::refresh);
    connect(&library_, &LibraryDocument::storingChanged, this, &KeptComparisons::refresh);
    fill();
    refresh();
}

void KeptComparisons::setProject(std::optional<ProjectId> project) {
    project_ = project;
    refresh();
}

void KeptComparisons::setAsk(const report::ComparedAsk& ask) {
    ask_ = ask;
    refresh();
}

std::vector<RowOf<ComparisonId, ComparisonParticulars>> KeptComparisons::all() const {
    std::vector<RowOf<ComparisonId, ComparisonParticulars>> kept;
    if (library_.isOpen() && project_)
        for (const auto& row : library_.contents()->comparisons)
            if (row.is.project == *project_) kept.push_back(row);
    return kept;
}

std::optional<ComparisonId> KeptComparisons::current() const {
    for (const auto& [id, is] : all()) {
        auto ask = askOf(is);
        ask.project = ask_.project;
        if (ask == ask_) return id;
    }
    return std::nullopt;
}

void KeptComparisons::refresh() {
    const bool can = library_.canWrite() && !library_.isStoring() && project_.has_value();
    const bool isKept = current().has_value();
    keep->setEnabled(can && !ask_.a.empty() && !isKept);
    rename->setEnabled(can && isKept);
    remove->setEnabled(can && isKept);
    emit changed();
}

void KeptComparisons::fill() {
    menu_->clear();
    const auto at = current();
    for (const auto& [id, is] : all()) {
        auto* action = menu_->addAction(qt(is.label));
        action->setCheckable(true);
        action->setChecked(id == at);
        connect(action, &QAction::triggered, this, [this, kept = is] { emit chosen(askOf(kept)); });
    }
    if (menu_->isEmpty()) menu_->addAction(tr("None is kept yet"))->setEnabled(false);
    menu_->addSeparator();
    menu_->addActions({keep, rename, remove});
}

bool KeptComparisons::keepAs(const QString& name) {
    if (!project_ || ask_.a.empty()) return false;
    return library_
        .addComparison(
            tr("keeping of comparison %1").arg(name),
            {*project_, name.trimmed().toStdString(), ask_.a, ask_.b, report::choicesText(ask_), false})
        .has_value();
}

bool KeptComparisons::renameTo(const QString& name) {
    const auto id = current();
    auto is = id ? library_.particulars(*id) : std::nullopt;
    if (!is) return false;
    is->label = name.trimmed().toStdString();
    return library_.edit(tr("new name of a comparison"),
                         {RowOf<ComparisonId, ComparisonParticulars>{*id, std::move(*is)}});
}

bool KeptComparisons::removeCurrent() {
    const auto id = current();
    auto is = id ? library_.particulars(*id) : std::nullopt;
    if (!is) return false;
    is->deleted = true;
    const QString name = qt(is->label);
    return library_.edit(tr("deletion of comparison %1").arg(name),
                         {RowOf<ComparisonId, ComparisonParticulars>{*id, std::move(*is)}});
}

void KeptComparisons::askName(const QString& title, const QString& proposal,
                              bool (KeptComparisons::*take)(const QString&)) {
    auto* dialog = new QInputDialog(window_);
    dialog->setObjectName(QStringLiteral("comparisonName"));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setWindowTitle(title);
    dialog->setLabelText(tr("Name"));
    dialog->setTextValue(proposal);
    connect(dialog, &QInputDialog::textValueSelected, this,
            [this, take](const QString& name) { (this->*take)(name); });
    dialog->open();
}

}  // namespace beatwitness::app
