#include "app/windows/editions_dialog.h"

#include <QDateTime>
#include <QDialogButtonBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPushButton>
#include <QSplitter>
#include <QTreeWidget>
#include <QVBoxLayout>

#include "widgets/background/progress_strip.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;

namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

QString numberOf(bool isThere, const std::optional<double>& value) {
    if (!isThere) return EditionsDialog::tr("not there");
    return value ? QLocale().toString(*value, 'g', 6) : EditionsDialog::tr("none");
}

}  // namespace

EditionsDialog::EditionsDialog(LibraryDocument& library, ProjectId project, evaluation::Question question,
                               QWidget* parent)
    : QDialog(parent), library_(library), project_(project), question_(std::move(question)) {
    setObjectName(QStringLiteral("editionsDialog"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(tr("Editions"));
    resize(fontMetrics().averageCharWidth() * 124, fontMetrics().height() * 34);
    auto* split = new QSplitter(Qt::Horizontal, this);
    split->addWidget(makeList());
    split->addWidget(makeChanges());
    split->setStretchFactor(1, 1);
    split->setChildrenCollapsible(false);
    split->setSizes({fontMetrics().averageCharWidth() * 56, fontMetrics().averageCharWidth() * 68});
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* column = new QVBoxLayout(this);
    column->addWidget(widgets::makeBody(tr("An edition keeps every number as it was published, with the "
                                           "question, criteria, thresholds, decisions "
                                           "and recordings behind it. Nothing changes it any more; choose "
                                           "one to see what its question comes to "
                                           "now."),
                                        this));
    column->addWidget(new widgets::ProgressStrip(runner_, this));
    column->addWidget(split, 1);
    column->addWidget(buttons);
    connect(list_, &QTreeWidget::currentItemChanged, this,
            [this] { openEdition(list_->indexOfTopLevelItem(list_->currentItem())); });
    connect(freeze_, &QPushButton::clicked, this, [this] { freeze(name_->text()); });
    connect(name_, &QLineEdit::returnPressed, this, [this] { freeze(name_->text()); });
    connect(name_, &QLineEdit::textChanged, this, &EditionsDialog::refreshButtons);
    for (auto signal : {&widgets::TaskRunner::finished, &widgets::TaskRunner::cancelled})
        connect(&runner_, signal, this, &EditionsDialog::refreshButtons);
    connect(&library_, &LibraryDocument::closed, this, &QDialog::reject);
    refreshButtons();
    readEditions();
}

QWidget* EditionsDialog::makeList() {
    auto* side = new QWidget(this);
    list_ = new QTreeWidget(side);
    list_->setObjectName(QStringLiteral("editionsList"));
    list_->setAccessibleName(tr("Editions"));
    list_->setHeaderLabels({tr("Edition"), tr("Frozen"), tr("By")});
    list_->setRootIsDecorated(false);
    name_ = new QLineEdit(side);
    name_->setObjectName(QStringLiteral("editionName"));
    name_->setPlaceholderText(tr("Name of a new edition"));
    name_->setAccessibleName(name_->placeholderText());
    name_->setMinimumHeight(26);
    freeze_ = new QPushButton(tr("&Freeze What Stands Now"), side);
    freeze_->setObjectName(QStringLiteral("freezeEdition"));
    freeze_->setAutoDefault(false);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(list_, 1);
    column->addWidget(name_);
    column->addWidget(freeze_);
    return side;
}

QWidget* EditionsDialog::makeChanges() {
    auto* side = new QWidget(this);
    because_ = widgets::makeBody({}, side);
    because_->setObjectName(QStringLiteral("editionBecause"));
    changes_ = new QTreeWidget(side);
    changes_->setObjectName(QStringLiteral("editionChanges"));
    changes_->setAccessibleName(tr("Numbers that changed"));
    changes_->setHeaderLabels({tr("Number"), tr("Then"), tr("Now"), tr("Change")});
    changes_->setRootIsDecorated(false);
    changes_->setUniformRowHeights(true);
    changes_->header()->setSectionResizeMode(0, QHeaderView::Stretch);
    changes_->header()->setStretchLastSection(false);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(because_);
    column->addWidget(changes_, 1);
    return side;
}

evaluation::Question EditionsDialog::asked() const {
    auto question = question_;
    question.project = library_.contents()->project(project_)->label;
    question.criteria = library_.contents()->criteriaOf(project_);
    return question;
}

void EditionsDialog::work(const QString& what,
                          std::function<Result<Answer>(Library&, const RunControl&)> function,
                          std::function<void(Answer)> done) {
    if (!library_.isOpen() || !library_.contents()->project(project_)) return;
    runner_.run(
        what,
        [path = library_.path().toStdString(), function](const RunControl& run) -> Result<Answer> {
            auto reader = Library::open(path, {.write = false});
            if (!reader) return reader.fault();
            return function(*reader, run);
        },
        [this, done](Result<Answer> answer) {
            if (!answer) {
                because_->setText(QString::fromStdString(sentence(answer.fault())));
                return;
            }
            library_.keepOutcomes(answer->fresh);
            done(std::move(*answer));
        });
    refreshButtons();
}

void EditionsDialog::readEditions() {
    work(
        tr("Reading editions …"),
        [id = project_](Library& reader, const RunControl&) -> Result<Answer> {
            auto editions = reader.editions(id);
            if (!editions) return editions.fault();
            return Answer{std::move(*editions), {}, {}, {}};
        },
        [this](Answer answer) { fillEditions(std::move(answer.editions)); });
}

void EditionsDialog::fillEditions(std::vector<Edition> editions) {
    editions_ = std::move(editions);
    const QSignalBlocker quiet(list_);
    list_->clear();
    for (const auto& edition : editions_)
        new QTreeWidgetItem(
            list_, {qt(edition.label),
                    QLocale().toString(QDateTime::fromMSecsSinceEpoch(edition.frozenAt.count() / 1000),
                                       QLocale::ShortFormat),
                    tr("%1, analysis %2").arg(qt(edition.program)).arg(edition.analysisVersion)});
    for (int column = 0; column < 3; ++column)
        list_->resizeColumnToContents(column);
    because_->setText(editions_.empty() ? tr("Nothing is frozen yet.") : tr("Choose an edition."));
    refreshButtons();
}

void EditionsDialog::openEdition(int row) {
    if (row < 0 || row >= static_cast<int>(editions_.size())) return;
    const auto label = editions_[static_cast<std::size_t>(row)].label;
    changes_->clear();
    because_->setText(tr("Asking the question of %1 again …").arg(qt(label)));
    work(
        tr("Asking again …"),
        [id = project_, label, asked = asked()](Library& reader, const RunControl& run) -> Result<Answer> {
            auto then = reader.edition(id, label);
            if (!then) return then.fault();
            auto question = evaluation::questionOf(then->question);
            question.project = asked.project;
            question.criteria = asked.criteria;
            auto answer = evaluation::projectAgreement(reader, question, run);
            if (!answer) return answer.fault();
            auto now = evaluation::editionNow(reader, question, *answer, {});
            if (!now) return now.fault();
            return Answer{{}, std::move(*then), std::move(*now), std::move(answer->fresh)};
        },
        [this](Answer answer) { fillChanges(*answer.then, *answer.now); });
}

void EditionsDialog::fillChanges(const Edition& then, const Edition& now) {
    const auto changes = evaluation::changesSince(then, now);
    QStringList sentences{tr("Since %1: %2 numbers changed, %3 did not.")
                              .arg(qt(then.label))
                              .arg(changes.changes.size())
                              .arg(changes.unchanged)};
    for (const auto& reason : changes.because)
        sentences << tr("• %1").arg(qt(reason));
    because_->setText(sentences.join(QLatin1Char('\n')));
    changes_->clear();
    QList<QTreeWidgetItem*> items;
    for (const auto& change : changes.changes) {
        const QString by =
            change.then && change.now ? QLocale().toString(*change.now - *change.then, 'g', 4) : QString();
        auto* item = new QTreeWidgetItem(QStringList{qt(change.key), numberOf(change.wasThere, change.then),
                                                     numberOf(change.isThere, change.now), by});
        for (int column = 1; column < 4; ++column)
            item->setTextAlignment(column, Qt::AlignRight | Qt::AlignVCenter);
        items << item;
    }
    changes_->addTopLevelItems(items);
    for (int column = 1; column < 4; ++column)
        changes_->resizeColumnToContents(column);
    emit compared();
}

void EditionsDialog::freeze(const QString& label) {
    const QString name = label.trimmed();
    if (name.isEmpty() || !library_.canWrite() || runner_.busy()) return;
    work(
        tr("Freezing %1 …").arg(name),
        [label = name.toStdString(), asked = asked()](Library& reader,
                                                      const RunControl& run) -> Result<Answer> {
            auto answer = evaluation::projectAgreement(reader, asked, run);
            if (!answer) return answer.fault();
            auto now = evaluation::editionNow(reader, asked, *answer, label);
            if (!now) return now.fault();
            return Answer{{}, {}, std::move(*now), std::move(answer->fresh)};
        },
        [this, name](Answer answer) {
            if (!library_.freezeEdition(project_, *answer.now)) {
                because_->setText(tr("%1 was not frozen; the message in the window says why.").arg(name));
                return;
            }
            name_->clear();
            emit frozen(name);
            QMetaObject::invokeMethod(this, &EditionsDialog::readEditions, Qt::QueuedConnection);
        });
}

void EditionsDialog::refreshButtons() {
    freeze_->setEnabled(library_.canWrite() && !library_.isStoring() && !runner_.busy() &&
                        !name_->text().trimmed().isEmpty());
}

}  // namespace beatwitness::app
